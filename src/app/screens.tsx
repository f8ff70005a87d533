import { type ComponentType, type LazyExoticComponent, lazy } from 'react';
import { CompareIcon, MachineIcon, MeasureIcon, NotebookIcon } from '../ui/icons';

/** One main screen: where it lives, what it is called, how it is loaded. */
export interface Screen {
  /** Where the navigation leads. */
  readonly path: string;
  /** Every address that it answers to, as route patterns. */
  readonly routes: readonly string[];
  readonly label: string;
  readonly Icon: ComponentType;
  readonly Content: LazyExoticComponent<ComponentType>;
}

/** Every screen of the app, in the order of the navigation. A new feature adds its entry here. */
export const screens: readonly Screen[] = [
  {
    path: '/measure',
    routes: ['/', '/measure/:swatchId?'],
    label: 'Measure',
    Icon: MeasureIcon,
    Content: lazy(() => import('../features/measure/MeasureScreen')),
  },
  {
    path: '/notebook',
    routes: ['/notebook/*?'],
    label: 'Notebook',
    Icon: NotebookIcon,
    Content: lazy(() => import('../features/notebook/NotebookScreen')),
  },
  {
    path: '/compare',
    routes: ['/compare/:ids?'],
    label: 'Compare',
    Icon: CompareIcon,
    Content: lazy(() => import('../features/compare/CompareScreen')),
  },
  {
    path: '/machine',
    routes: ['/machine/*?'],
    label: 'Machine',
    Icon: MachineIcon,
    Content: lazy(() => import('../features/machine/MachineScreen')),
  },
];

/** Pages that other screens lead to and the navigation does not. */
export const pages: readonly Pick<Screen, 'path' | 'Content'>[] = [
  { path: '/sheet', Content: lazy(() => import('../features/measure/sheet/SheetPage')) },
];
