import type { ReactNode } from 'react';
import type { DraftSaving } from './useDraft';

interface Props {
  readonly saving: DraftSaving;
  /** The name of the button that saves. */
  readonly action: string;
  /** Further buttons beside that one. */
  readonly others?: ReactNode;
  readonly left: ReactNode;
  readonly right: ReactNode;
}

/** A form in two columns (one on a narrow screen) that saves a draft and says how that went. */
export const DraftForm = ({ saving, action, others, left, right }: Props) => (
  <form
    className="machine-columns"
    noValidate
    onSubmit={(event) => {
      event.preventDefault();
      void saving.save();
    }}
  >
    <div className="stack">{left}</div>
    <div className="stack">
      {right}
      {saving.problem && (
        <p className="note note--problem" role="alert">
          {saving.problem}
        </p>
      )}
      <div className="row">
        <button type="submit" className="button button--primary">
          {action}
        </button>
        {others}
      </div>
      <p role="status">{saving.saved && 'Saved.'}</p>
    </div>
  </form>
);
