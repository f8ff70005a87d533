import { useId } from 'react';

interface Props {
  readonly onFile: (file: File) => void;
  /** The one on the empty screen is the main thing to do there; beside an open photo it is not. */
  readonly prominent: boolean;
  /** Several photos may be chosen at once; each is handed over by itself. */
  readonly several?: boolean;
}

const FileButton = ({
  label,
  camera,
  className,
  several,
  onFile,
}: {
  readonly label: string;
  readonly camera: boolean;
  readonly several: boolean;
  readonly className: string;
  readonly onFile: (file: File) => void;
}) => {
  const id = useId();
  return (
    <>
      <input
        id={id}
        type="file"
        accept="image/*"
        className="visually-hidden file-input"
        multiple={several}
        {...(camera ? { capture: 'environment' as const } : {})}
        onChange={(event) => {
          const files = [...(event.target.files ?? [])];
          // The same file chosen again must count again.
          event.target.value = '';
          for (const file of files) onFile(file);
        }}
      />
      <label htmlFor={id} className={className}>
        {label}
      </label>
    </>
  );
};

/** Choosing a photo from the device; where there is a touch screen, also taking one with its camera. */
export const PhotoButtons = ({ onFile, prominent, several = false }: Props) => (
  <div className="row photo-buttons">
    <FileButton
      label={several ? 'Choose photos' : 'Choose a photo'}
      camera={false}
      several={several}
      className={`button${prominent ? ' button--primary' : ''}`}
      onFile={onFile}
    />
    <span className="only-touch">
      <FileButton label="Take a photo" camera several={false} className="button" onFile={onFile} />
    </span>
  </div>
);
