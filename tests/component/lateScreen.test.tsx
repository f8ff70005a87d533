import { cleanup, render, screen, waitFor } from '@testing-library/react';
import { Component, type ReactNode } from 'react';
import { afterEach, describe, expect, it } from 'vitest';
import { LateScreen, screenFiles } from '../../src/app/LateScreen';

afterEach(cleanup);

const Bench = () => <h1>The workbench</h1>;

class Net extends Component<{ readonly children: ReactNode }, { readonly failed: boolean }> {
  override state = { failed: false };
  static getDerivedStateFromError = () => ({ failed: true });
  override render(): ReactNode {
    return this.state.failed ? <p>It did not come.</p> : this.props.children;
  }
}

describe('a screen whose files come late', () => {
  it('says that it is opening, then shows, and at once the next time', async () => {
    const files = screenFiles(async () => ({ default: Bench }));
    render(<LateScreen files={files} />);
    expect(screen.getByRole('status').textContent).toBe('Opening…');
    expect(await screen.findByText('The workbench')).toBeTruthy();
    cleanup();
    render(<LateScreen files={files} />);
    expect(screen.queryByRole('status')).toBeNull();
    expect(screen.getByText('The workbench')).toBeTruthy();
  });

  it('asks for its files once, however often it is wanted', async () => {
    let asked = 0;
    const files = screenFiles(async () => {
      asked += 1;
      return { default: Bench };
    });
    await Promise.all([files.load(), files.load()]);
    render(<LateScreen files={files} />);
    expect(asked).toBe(1);
  });

  it('gives a failure to what surrounds it, and tries again when it is next shown', async () => {
    let works = false;
    const files = screenFiles(async () => {
      if (!works) throw new TypeError('The file is not there.');
      return { default: Bench };
    });
    const quiet = console.error;
    console.error = () => undefined;
    render(
      <Net>
        <LateScreen files={files} />
      </Net>,
    );
    await waitFor(() => expect(screen.getByText('It did not come.')).toBeTruthy());
    console.error = quiet;
    cleanup();
    works = true;
    render(<LateScreen files={files} />);
    expect(await screen.findByText('The workbench')).toBeTruthy();
  });
});
