/** One sentence about what went wrong and what to do; stays until it is put away. */
export const Problem = ({
  sentence,
  onDismiss,
}: {
  readonly sentence: string | null;
  readonly onDismiss: () => void;
}) =>
  sentence === null ? null : (
    <div className="problem-bar" role="alert">
      <p>{sentence}</p>
      <button type="button" className="button" onClick={onDismiss}>
        All right
      </button>
    </div>
  );
