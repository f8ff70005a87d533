import type { Landmark, Machine, Swatch, Yarn } from '../domain/records';
import { newId, now } from './ids';

/** A fresh draft with nothing in it. It is stored only when it is saved. */
export const blankSwatch = (): Swatch => {
  const moment = now();
  return {
    id: newId(),
    state: 'draft',
    photoId: null,
    photoFacts: null,
    measurement: null,
    scale: null,
    thicknessMm: null,
    layers: 1,
    edits: [],
    undone: [],
    window: null,
    gauge: null,
    yarnId: null,
    machineId: null,
    cylinderNeedles: null,
    reading: null,
    restState: null,
    notes: '',
    createdAt: moment,
    updatedAt: moment,
    deletedAt: null,
  };
};

/** A new yarn with a name and nothing else known. */
export const blankYarn = (name: string): Yarn => {
  const moment = now();
  return {
    id: newId(),
    name,
    maker: '',
    fibre: '',
    colour: '',
    lot: '',
    tex: null,
    notes: '',
    createdAt: moment,
    updatedAt: moment,
  };
};

/** A new machine with a name and no cylinder yet. */
export const blankMachine = (name: string): Machine => {
  const moment = now();
  return { id: newId(), name, cylinderNeedles: [], notes: '', createdAt: moment, updatedAt: moment };
};

/** A new pair of points on a machine, measured with the outside jaws unless said otherwise. */
export const blankLandmark = (machineId: string, name: string): Landmark => {
  const moment = now();
  return {
    id: newId(),
    machineId,
    name,
    jaw: 'outside',
    description: '',
    createdAt: moment,
    updatedAt: moment,
  };
};
