import { type ReactNode, useId, useState } from 'react';
import type { Id, Photo } from '../../domain/records';
import { keepPhoto } from '../../store/keepPhoto';
import { sentenceOf } from '../sentenceOf';
import './photoField.css';
import { type Photos, usePhoto } from './usePhoto';

interface Props {
  readonly storage: Photos & { readonly savePhoto: (photo: Photo) => Promise<void> };
  readonly label: string;
  readonly photoId: Id | null;
  readonly onChange: (photoId: Id | null) => void;
  /** What is drawn over the photo. */
  readonly over?: (url: string) => ReactNode;
}

/** A photo that belongs to a record: chosen from the device or taken with its camera. */
export const PhotoField = ({ storage, label, photoId, onChange, over }: Props) => {
  const id = useId();
  const url = usePhoto(storage, photoId);
  const [problem, setProblem] = useState<string | null>(null);
  const take = async (file: File): Promise<void> => {
    try {
      const kept = await keepPhoto(storage, file);
      if ('sentence' in kept) setProblem(kept.sentence);
      else {
        setProblem(null);
        onChange(kept.id);
      }
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <div className="field photo-field">
      <span className="label" id={`${id}-label`}>
        {label}
      </span>
      {url && (over ? over(url) : <img src={url} alt="" />)}
      <div className="row">
        <input
          id={id}
          type="file"
          accept="image/*"
          className="visually-hidden photo-field-input"
          onChange={(event) => {
            const file = event.target.files?.[0];
            // The same file chosen again must count again.
            event.target.value = '';
            if (file) void take(file);
          }}
        />
        <label htmlFor={id} className="button" aria-describedby={`${id}-label`}>
          {photoId === null ? 'Choose a photo' : 'Another photo'}
        </label>
        {photoId !== null && (
          <button type="button" className="button button--quiet" onClick={() => onChange(null)}>
            Without a photo
          </button>
        )}
      </div>
      {problem && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
    </div>
  );
};
