import { memo, useId, useMemo, useState } from 'react';
import type { Machine, RestState } from '../../domain/records';
import type { Notebook } from '../../store/notebook';
import {
  type NotebookFilter,
  type NotebookRow,
  restStateNames,
  type SortOrder,
  wholeNotebook,
} from '../../store/notebookRows';
import { useNotebook } from './useNotebook';

interface SelectProps {
  readonly label: string;
  readonly value: string;
  readonly any: string;
  readonly options: readonly (readonly [value: string, name: string])[];
  readonly onChange: (value: string | null) => void;
}

const Select = ({ label, value, any, options, onChange }: SelectProps) => {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onChange(event.target.value || null)}>
        {any && <option value="">{any}</option>}
        {options.map(([key, name]) => (
          <option key={key} value={key}>
            {name}
          </option>
        ))}
      </select>
    </div>
  );
};

const orderNames: Readonly<Record<SortOrder, string>> = {
  newest: 'Newest first',
  oldest: 'Oldest first',
  fewestStitches: 'Fewest stitches first',
  mostStitches: 'Most stitches first',
  yarn: 'By yarn',
};

/** A typed number with point or comma; null for nothing, undefined for what is no number. */
const typedNumber = (text: string): number | null | undefined => {
  if (text.trim() === '') return null;
  const value = Number(text.trim().replace(',', '.'));
  return Number.isFinite(value) && value >= 0 ? value : undefined;
};

const NumberField = ({
  label,
  value,
  onChange,
}: {
  readonly label: string;
  readonly value: number | null;
  readonly onChange: (value: number | null) => void;
}) => {
  const id = useId();
  const [text, setText] = useState(value === null ? '' : String(value));
  const meant = typedNumber(text);
  const isWrong = meant === undefined;
  // What was typed stays as it was typed, until the filter is taken away from elsewhere.
  const shown = isWrong || meant === value ? text : String(value ?? '');
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        value={shown}
        inputMode="decimal"
        aria-invalid={isWrong}
        onChange={(event) => {
          setText(event.target.value);
          const typed = typedNumber(event.target.value);
          if (typed !== undefined) onChange(typed);
        }}
      />
    </div>
  );
};

const DayField = ({
  label,
  value,
  onChange,
}: {
  readonly label: string;
  readonly value: string | null;
  readonly onChange: (value: string | null) => void;
}) => {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="date"
        value={value ?? ''}
        onChange={(event) => onChange(event.target.value || null)}
      />
    </div>
  );
};

const count = (filter: NotebookFilter): number =>
  [
    filter.yarnId,
    filter.machineId,
    filter.cylinderNeedles,
    filter.restState,
    filter.state,
    filter.stitchesFrom,
    filter.stitchesTo,
    filter.dayFrom,
    filter.dayTo,
    filter.deleted || null,
  ].filter((value) => value !== null).length;

/** Needle counts of all cylinders, also of ones that only a swatch remembers. */
const cylindersOf = (machines: readonly Machine[], rows: readonly NotebookRow[]): number[] => {
  const needles = new Set(machines.flatMap((machine) => machine.cylinderNeedles));
  for (const { card } of rows) if (card.cylinderNeedles !== null) needles.add(card.cylinderNeedles);
  return [...needles].sort((a, b) => a - b);
};

interface Props {
  readonly notebook: Notebook;
  /** The arrow key down from the search goes to the list. */
  readonly onLeaveDown: () => void;
}

/** The filters besides the words: not drawn again while words are typed, however many yarns they offer. */
const FilterFields = memo(({ notebook }: Pick<Props, 'notebook'>) => {
  const yarnId = useNotebook(notebook, (state) => state.filter.yarnId);
  const machineId = useNotebook(notebook, (state) => state.filter.machineId);
  const cylinderNeedles = useNotebook(notebook, (state) => state.filter.cylinderNeedles);
  const restState = useNotebook(notebook, (state) => state.filter.restState);
  const stitchesFrom = useNotebook(notebook, (state) => state.filter.stitchesFrom);
  const stitchesTo = useNotebook(notebook, (state) => state.filter.stitchesTo);
  const dayFrom = useNotebook(notebook, (state) => state.filter.dayFrom);
  const dayTo = useNotebook(notebook, (state) => state.filter.dayTo);
  const order = useNotebook(notebook, (state) => state.filter.order);
  const deleted = useNotebook(notebook, (state) => state.filter.deleted);
  const yarns = useNotebook(notebook, (state) => state.yarns);
  const machines = useNotebook(notebook, (state) => state.machines);
  const rows = useNotebook(notebook, (state) => state.rows);
  const yarnOptions = useMemo(
    () => yarns.map((yarn) => [yarn.id, [yarn.name, yarn.colour].filter(Boolean).join(', ')] as const),
    [yarns],
  );
  const cylinders = useMemo(() => cylindersOf(machines, rows), [machines, rows]);
  const [cleared, setCleared] = useState(0);
  const { narrow } = notebook;
  return (
    <div className="filters-fields" key={cleared}>
      <Select
        label="Yarn"
        any="Any yarn"
        value={yarnId ?? ''}
        options={yarnOptions}
        onChange={(chosen) => narrow({ yarnId: chosen })}
      />
      <Select
        label="Machine"
        any="Any machine"
        value={machineId ?? ''}
        options={machines.map((machine) => [machine.id, machine.name])}
        onChange={(chosen) => narrow({ machineId: chosen })}
      />
      <Select
        label="Cylinder"
        any="Any cylinder"
        value={String(cylinderNeedles ?? '')}
        options={cylinders.map((needles) => [String(needles), `${needles} needles`])}
        onChange={(needles) => narrow({ cylinderNeedles: needles === null ? null : Number(needles) })}
      />
      <Select
        label="Fabric"
        any="In any state"
        value={restState ?? ''}
        options={Object.entries(restStateNames)}
        onChange={(state) => narrow({ restState: state as RestState | null })}
      />
      <NumberField
        label="Stitches per inch, from"
        value={stitchesFrom}
        onChange={(value) => narrow({ stitchesFrom: value })}
      />
      <NumberField
        label="Stitches per inch, to"
        value={stitchesTo}
        onChange={(value) => narrow({ stitchesTo: value })}
      />
      <DayField label="Begun on or after" value={dayFrom} onChange={(day) => narrow({ dayFrom: day })} />
      <DayField label="Begun on or before" value={dayTo} onChange={(day) => narrow({ dayTo: day })} />
      <Select
        label="Order"
        any=""
        value={order}
        options={Object.entries(orderNames)}
        onChange={(chosen) => narrow({ order: (chosen ?? 'newest') as SortOrder })}
      />
      <label className="tick">
        <input
          type="checkbox"
          checked={deleted}
          onChange={(event) => narrow({ deleted: event.target.checked })}
        />
        <span>Show the deleted ones (kept for 30 days)</span>
      </label>
      <ShowAll notebook={notebook} onCleared={() => setCleared(cleared + 1)} />
    </div>
  );
});

/** Takes every filter away but the words and the order. */
const ShowAll = ({ notebook, onCleared }: Pick<Props, 'notebook'> & { readonly onCleared: () => void }) => {
  const isWhole = useNotebook(notebook, (state) => count(state.filter) === 0);
  return (
    <button
      type="button"
      className="button"
      disabled={isWhole}
      onClick={() => {
        const { words, order } = notebook.store.getState().filter;
        notebook.narrow({ ...wholeNotebook, words, order });
        onCleared();
      }}
    >
      Show all again
    </button>
  );
};

/** Everything that narrows the list down. */
export const Filters = ({ notebook, onLeaveDown }: Props) => {
  const searchId = useId();
  const words = useNotebook(notebook, (state) => state.filter.words);
  const set = useNotebook(notebook, (state) => count(state.filter));
  return (
    <search className="filters">
      <div className="filters-words">
        <label className="visually-hidden" htmlFor={searchId}>
          Search all words
        </label>
        <input
          id={searchId}
          className="input"
          type="search"
          placeholder="Search: yarn, colour, machine, notes…"
          value={words}
          onChange={(event) => notebook.narrow({ words: event.target.value })}
          onKeyDown={(event) => {
            if (event.key !== 'ArrowDown') return;
            event.preventDefault();
            onLeaveDown();
          }}
        />
      </div>
      <details>
        <summary>{set === 0 ? 'Narrow down and sort' : `Narrowed down (${set}) and sorted`}</summary>
        <FilterFields notebook={notebook} />
      </details>
    </search>
  );
};
