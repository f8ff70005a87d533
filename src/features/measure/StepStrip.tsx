import { DoneIcon } from '../../ui/icons';
import { type Step, stepNames, steps } from './steps';

interface Props {
  readonly current: Step;
  readonly done: Readonly<Record<Step, boolean>>;
  readonly onChoose: (step: Step) => void;
}

/** The steps, which of them are done, and the way to each. None is locked: going back never loses anything. */
export const StepStrip = ({ current, done, onChoose }: Props) => (
  <nav aria-label="Steps" className="step-strip">
    <ol>
      {steps.map((step, index) => (
        <li key={step}>
          <button
            type="button"
            aria-current={step === current ? 'step' : undefined}
            onClick={() => onChoose(step)}
          >
            <span className="step-dot" aria-hidden="true">
              {done[step] ? <DoneIcon /> : index + 1}
            </span>
            {stepNames[step]}
            {done[step] && <span className="visually-hidden"> (done)</span>}
          </button>
        </li>
      ))}
    </ol>
  </nav>
);
