import { Component, type ReactNode } from 'react';

interface Props {
  readonly children: ReactNode;
  /** A new value (the route) gives the screen another chance. */
  readonly place: string;
}

interface State {
  readonly failed: boolean;
  readonly place: string;
}

/** Catches a screen that failed to draw, says that nothing is lost, and offers to load the page again. */
export class ErrorBoundary extends Component<Props, State> {
  override state: State = { failed: false, place: this.props.place };

  static getDerivedStateFromError(): Partial<State> {
    return { failed: true };
  }

  static getDerivedStateFromProps(props: Props, state: State): Partial<State> | null {
    return props.place === state.place ? null : { failed: false, place: props.place };
  }

  override render(): ReactNode {
    if (!this.state.failed) return this.props.children;
    return (
      <div className="page stack" role="alert">
        <h1>This screen stopped working.</h1>
        <p>
          Nothing is lost: the photo, your corrections and your notebook are kept on this device. Load the
          page again to carry on where you were.
        </p>
        <div className="row">
          <button type="button" className="button button--primary" onClick={() => location.reload()}>
            Load the page again
          </button>
        </div>
      </div>
    );
  }
}
