import { type ComponentType, type LazyExoticComponent, lazy } from 'react';
import { MeasureIcon } from '../ui/icons';

/** One main screen: where it lives, what it is called, how it is loaded. */
export interface Screen {
  readonly path: string;
  /** Further routes of the same screen, with parameters. */
  readonly alsoAt: readonly string[];
  readonly label: string;
  readonly Icon: ComponentType;
  readonly Content: LazyExoticComponent<ComponentType>;
}

/** Every screen of the app, in the order of the navigation. A new feature adds its line here. */
export const screens: readonly Screen[] = [
  {
    path: '/measure',
    alsoAt: ['/', '/measure/:swatchId'],
    label: 'Measure',
    Icon: MeasureIcon,
    Content: lazy(() => import('../features/measure/MeasureScreen')),
  },
];
