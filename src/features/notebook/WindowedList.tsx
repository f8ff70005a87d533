import {
  type FocusEvent,
  type KeyboardEvent,
  type ReactNode,
  type Ref,
  useEffect,
  useImperativeHandle,
  useLayoutEffect,
  useRef,
  useState,
} from 'react';

/** What else may be asked of the list. */
export interface ListHandle {
  readonly focusFirst: () => void;
}

interface Props {
  readonly ref?: Ref<ListHandle>;
  readonly label: string;
  readonly count: number;
  /** Height of every row, in rem, so that rows grow with the reader's type size. */
  readonly rowRem: number;
  readonly keyOf: (index: number) => string;
  readonly children: (index: number) => ReactNode;
  /** Where the list stands when it appears. */
  readonly startAt: number;
  /** When this changes, the list goes back to its top. */
  readonly resetWith: unknown;
  readonly onScroll: (scrollTop: number) => void;
  /** The Delete key was pressed on a row. */
  readonly onDelete: (index: number) => void;
}

/** Rows drawn beyond each edge, so that a flick does not show blank paper. */
const spareRows = 6;

const rootFontPx = (): number => Number.parseFloat(getComputedStyle(document.documentElement).fontSize) || 16;

/** Moves by keyboard through the rows: which one comes next. */
const nextIndex = (key: string, index: number, count: number, page: number): number | null => {
  const moves: Readonly<Record<string, number>> = {
    ArrowDown: index + 1,
    ArrowUp: index - 1,
    PageDown: index + page,
    PageUp: index - page,
    Home: 0,
    End: count - 1,
  };
  const to = moves[key];
  return to === undefined ? null : Math.max(0, Math.min(count - 1, to));
};

/**
 * A long list of rows of one height, of which only those in sight (and a few more) are in the page. Arrow keys, page keys, Home
 * and End move the focus from row to row, also to rows that are not drawn yet; Delete deletes the row.
 */
export const WindowedList = (props: Props) => {
  const { label, count, rowRem, keyOf, children, startAt, resetWith, onScroll, onDelete } = props;
  const scroller = useRef<HTMLDivElement>(null);
  const focusNext = useRef<number | null>(null);
  const [height, setHeight] = useState(800);
  const [top, setTop] = useState(startAt);
  const rowPx = rowRem * rootFontPx();
  const first = Math.max(0, Math.floor(top / rowPx) - spareRows);
  const last = Math.min(count, Math.ceil((top + height) / rowPx) + spareRows);

  const standsAt = useRef({ top: startAt, resetWith });
  useLayoutEffect(() => {
    const element = scroller.current;
    if (!element) return;
    if (standsAt.current.resetWith !== resetWith) standsAt.current = { top: 0, resetWith };
    element.scrollTop = standsAt.current.top;
    setTop(element.scrollTop);
  }, [resetWith]);

  useEffect(() => {
    const element = scroller.current;
    if (!element || typeof ResizeObserver === 'undefined') return;
    const observer = new ResizeObserver(() => setHeight(element.clientHeight));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);

  const focusRow = (index: number): boolean => {
    const link = scroller.current?.querySelector<HTMLElement>(
      `[data-row="${index}"] a, [data-row="${index}"] button`,
    );
    link?.focus();
    return Boolean(link);
  };

  useImperativeHandle(props.ref, () => ({ focusFirst: () => void focusRow(first) }));

  /** The row that has the focus, and how many there were then. */
  const focused = useRef<{ readonly row: number; readonly count: number } | null>(null);
  // A row that goes away takes the focus with it; the one that moves up gets it, or the keyboard would start over.
  useEffect(() => {
    const held = focused.current;
    if (held === null || count >= held.count || document.activeElement !== document.body) return;
    focusNext.current = Math.min(held.row, count - 1);
    focused.current = null;
  }, [count]);

  // The row that the keyboard went to may have been drawn only now.
  useEffect(() => {
    if (focusNext.current !== null && focusRow(focusNext.current)) focusNext.current = null;
  });

  const onKeyDown = (event: KeyboardEvent): void => {
    const row = (event.target as HTMLElement).closest('[data-row]');
    const element = scroller.current;
    if (!row || !element) return;
    if (event.key === 'Delete') {
      event.preventDefault();
      onDelete(Number(row.getAttribute('data-row')));
      return;
    }
    const page = Math.max(1, Math.floor(height / rowPx) - 1);
    const to = nextIndex(event.key, Number(row.getAttribute('data-row')), count, page);
    if (to === null) return;
    event.preventDefault();
    focusNext.current = to;
    const above = to * rowPx;
    if (above < element.scrollTop) element.scrollTop = above;
    else if (above + rowPx > element.scrollTop + height) element.scrollTop = above + rowPx - height;
    setTop(element.scrollTop);
    if (focusRow(to)) focusNext.current = null;
  };

  const onFocus = (event: FocusEvent): void => {
    const row = event.target.closest('[data-row]')?.getAttribute('data-row');
    focused.current = row == null ? null : { row: Number(row), count };
  };

  /** Only a focus that was lost with its row comes back, not one that went elsewhere. */
  const onBlur = (event: FocusEvent): void => {
    if (event.relatedTarget) focused.current = null;
  };

  return (
    <div
      className="windowed"
      ref={scroller}
      onScroll={(event) => {
        setTop(event.currentTarget.scrollTop);
        onScroll(event.currentTarget.scrollTop);
      }}
    >
      <ul
        aria-label={label}
        style={{ height: count * rowPx }}
        onKeyDown={onKeyDown}
        onFocus={onFocus}
        onBlur={onBlur}
      >
        {Array.from({ length: Math.max(0, last - first) }, (_, i) => first + i).map((index) => (
          <li
            key={keyOf(index)}
            data-row={index}
            aria-setsize={count}
            aria-posinset={index + 1}
            style={{ height: rowPx, transform: `translateY(${index * rowPx}px)` }}
          >
            {children(index)}
          </li>
        ))}
      </ul>
    </div>
  );
};
