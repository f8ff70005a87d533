import { useEffect, useState } from 'react';
import { withLandmarkProfile } from '../../../domain/machineRecords';
import type { Id, Photo, Swatch } from '../../../domain/records';
import type { Storage } from '../../../storage/repository';
import type { NotebookRow } from '../../../store/notebookRows';
import { sentenceOf } from '../../../ui/sentenceOf';
import { landmarkPicture, swatchPicture } from './pictures';

/** What a card needs beyond its line in the list; pictures are null when there is none that can be shown. */
export interface CardParts {
  readonly swatch: Swatch;
  readonly picture: HTMLCanvasElement | null;
  readonly landmark: HTMLCanvasElement | null;
}

const PICTURE_PX = 1600;
const LANDMARK_PX = 800;

type Source = Pick<Storage, 'readSwatch' | 'getPhoto'>;

const photoOf = async (storage: Source, id: Id | null): Promise<Photo | null> =>
  id === null ? null : storage.getPhoto(id);

const readParts = async (storage: Source, row: NotebookRow): Promise<CardParts | null> => {
  const swatch = await storage.readSwatch(row.card.id);
  if (!swatch) return null;
  const profile = row.landmark && withLandmarkProfile(row.landmark);
  // One after the other: two large photos in memory at once are too much for a phone.
  const photo = await photoOf(storage, swatch.photoId);
  const picture = photo && (await swatchPicture(photo, swatch, PICTURE_PX));
  const landmarkPhoto = await photoOf(storage, profile?.photoId ?? null);
  const landmark = landmarkPhoto && (await landmarkPicture(landmarkPhoto, profile?.dots ?? [], LANDMARK_PX));
  return { swatch, picture, landmark };
};

/** Reads and paints what a card needs; null until that is done. */
export const useCard = (
  storage: Source,
  row: NotebookRow,
): { readonly parts: CardParts | null; readonly problem: string | null } => {
  const [parts, setParts] = useState<CardParts | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  useEffect(() => {
    let gone = false;
    readParts(storage, row).then(
      (found) => {
        if (!gone) setParts(found);
      },
      (error: unknown) => {
        if (!gone) setProblem(sentenceOf(error));
      },
    );
    return () => {
      gone = true;
    };
  }, [storage, row]);
  return { parts, problem };
};
