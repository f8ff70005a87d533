import { useId, useState } from 'react';
import type { Decision } from '../../storage/archive/apply';
import type { ImportItem, ImportPlan, RecordKind } from '../../storage/archive/plan';

interface Props {
  readonly plan: ImportPlan;
  readonly onTake: (decide: (item: ImportItem) => Decision) => void;
  readonly onLeave: () => void;
}

const kindNames: Readonly<Record<RecordKind, readonly [one: string, many: string]>> = {
  swatch: ['swatch', 'swatches'],
  yarn: ['yarn', 'yarns'],
  machine: ['machine', 'machines'],
  landmark: ['pair of points', 'pairs of points'],
  reference: ['reference', 'references'],
  turns: ['record of turns', 'records of turns'],
  sameSetting: ['pair of readings', 'pairs of readings'],
  camLog: ['cam setting', 'cam settings'],
};

const kinds = Object.keys(kindNames) as RecordKind[];

const countOf = (plan: ImportPlan, state: ImportItem['state']): string =>
  kinds
    .map((kind) => {
      const count = plan.items.filter((item) => item.kind === kind && item.state === state).length;
      return count === 0 ? null : `${count} ${kindNames[kind][count === 1 ? 0 : 1]}`;
    })
    .filter(Boolean)
    .join(', ') || 'nothing';

const decisionNames: Readonly<Record<Decision, string>> = {
  keepHere: 'Keep what is here',
  takeArchive: 'Take the one from the archive',
  keepBoth: 'Keep both',
};

const decisionsFor = (kind: RecordKind): readonly Decision[] =>
  kind === 'swatch' ? ['keepHere', 'takeArchive', 'keepBoth'] : ['keepHere', 'takeArchive'];

const keyOf = (item: ImportItem): string => `${item.kind}/${item.id}`;

const Question = ({
  item,
  value,
  onChange,
}: {
  readonly item: ImportItem;
  readonly value: Decision;
  readonly onChange: (decision: Decision) => void;
}) => {
  const id = useId();
  return (
    <li className="field">
      <label htmlFor={id}>
        {item.kind === 'swatch' ? item.label : `${kindNames[item.kind][0]}: ${item.label}`}
      </label>
      <select id={id} value={value} onChange={(event) => onChange(event.target.value as Decision)}>
        {decisionsFor(item.kind).map((decision) => (
          <option key={decision} value={decision}>
            {decisionNames[decision]}
          </option>
        ))}
      </select>
    </li>
  );
};

/** How many questions are shown one by one; the rest follows the answer for all. */
const mostQuestions = 100;

/** What taking an archive in would do, with a question for each record that differs from the one here. */
export const ImportQuestions = ({ plan, onTake, onLeave }: Props) => {
  const allId = useId();
  const [forAll, setForAll] = useState<Decision>('keepHere');
  const [answers, setAnswers] = useState<ReadonlyMap<string, Decision>>(new Map());
  const changed = plan.items.filter((item) => item.state === 'changed');
  const decide = (item: ImportItem): Decision => {
    const decision = answers.get(keyOf(item)) ?? forAll;
    return decisionsFor(item.kind).includes(decision) ? decision : 'keepHere';
  };
  return (
    <section className="note" aria-label="What the archive would change">
      <p>
        This archive was made on{' '}
        {new Date(plan.contents.madeAt).toLocaleDateString(undefined, { dateStyle: 'long' })}.
      </p>
      <ul className="small">
        <li>New: {countOf(plan, 'added')}.</li>
        <li>Already here, exactly the same: {countOf(plan, 'same')}.</li>
        <li>Here too, but different: {countOf(plan, 'changed')}.</li>
        {plan.remarks.map((remark) => (
          <li key={remark}>{remark}</li>
        ))}
      </ul>
      {changed.length > 0 && (
        <>
          <div className="field">
            <label htmlFor={allId}>For all that differ</label>
            <select
              id={allId}
              value={forAll}
              onChange={(event) => {
                setForAll(event.target.value as Decision);
                setAnswers(new Map());
              }}
            >
              {decisionsFor('swatch').map((decision) => (
                <option key={decision} value={decision}>
                  {decisionNames[decision]}
                </option>
              ))}
            </select>
          </div>
          <details>
            <summary>One by one</summary>
            <ul className="stack">
              {changed.slice(0, mostQuestions).map((item) => (
                <Question
                  key={keyOf(item)}
                  item={item}
                  value={decide(item)}
                  onChange={(decision) => setAnswers(new Map([...answers, [keyOf(item), decision]]))}
                />
              ))}
            </ul>
            {changed.length > mostQuestions && (
              <p className="small">The other {changed.length - mostQuestions} follow the answer for all.</p>
            )}
          </details>
        </>
      )}
      <div className="row">
        <button type="button" className="button button--primary" onClick={() => onTake(decide)}>
          Take it in
        </button>
        <button type="button" className="button" onClick={onLeave}>
          Leave it
        </button>
      </div>
    </section>
  );
};
