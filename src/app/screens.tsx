import type { ComponentType } from 'react';
import { CompareIcon, MachineIcon, MeasureIcon, NotebookIcon } from '../ui/icons';
import { type ScreenFiles, screenFiles } from './LateScreen';

/** One main screen: where it lives, what it is called, how it is loaded. */
export interface Screen {
  /** Where the navigation leads. */
  readonly path: string;
  /** Every address that it answers to, as route patterns. */
  readonly routes: readonly string[];
  readonly label: string;
  readonly Icon: ComponentType;
  readonly files: ScreenFiles;
}

/** Every screen of the app, in the order of the navigation. A new feature adds its entry here. */
export const screens: readonly Screen[] = [
  {
    path: '/measure',
    routes: ['/', '/measure/:swatchId?'],
    label: 'Measure',
    Icon: MeasureIcon,
    files: screenFiles(() => import('../features/measure/MeasureScreen')),
  },
  {
    path: '/notebook',
    routes: ['/notebook/*?'],
    label: 'Notebook',
    Icon: NotebookIcon,
    files: screenFiles(() => import('../features/notebook/NotebookScreen')),
  },
  {
    path: '/compare',
    routes: ['/compare/:ids?'],
    label: 'Compare',
    Icon: CompareIcon,
    files: screenFiles(() => import('../features/compare/CompareScreen')),
  },
  {
    path: '/machine',
    routes: ['/machine/*?'],
    label: 'Machine',
    Icon: MachineIcon,
    files: screenFiles(() => import('../features/machine/MachineScreen')),
  },
];

/** Pages that other screens lead to and the navigation does not. */
export const pages: readonly Pick<Screen, 'path' | 'label' | 'files'>[] = [
  {
    path: '/sheet',
    label: 'Reference sheet',
    files: screenFiles(() => import('../features/measure/sheet/SheetPage')),
  },
];

/** Whether a screen answers to an address. */
export const belongsTo = (screen: Screen, location: string): boolean =>
  location === screen.path || location.startsWith(`${screen.path}/`) || screen.routes.includes(location);

/** What the browser calls the page at an address: the place first, so that tabs and screen readers tell places apart. */
export const titleAt = (location: string): string => {
  const place =
    screens.find((screen) => belongsTo(screen, location)) ?? pages.find(({ path }) => path === location);
  return place ? `${place.label} · Walewright` : 'Walewright';
};

/** Asks for the files of the screen at an address at once, while the frame around it is being drawn; a failure shows there. */
export const beginScreenAt = (location: string): void => {
  const screen = screens.find((candidate) => belongsTo(candidate, location));
  void screen?.files.load().catch(() => undefined);
};
