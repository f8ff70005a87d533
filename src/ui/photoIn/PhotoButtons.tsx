import { useId } from 'react';

interface Props {
  readonly onFile: (file: File) => void;
  /** The one on the empty screen is the main thing to do there; beside an open photo it is not. */
  readonly prominent: boolean;
}

const FileButton = ({
  label,
  camera,
  className,
  onFile,
}: {
  readonly label: string;
  readonly camera: boolean;
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
        {...(camera ? { capture: 'environment' as const } : {})}
        onChange={(event) => {
          const file = event.target.files?.[0];
          // The same file chosen again must count again.
          event.target.value = '';
          if (file) onFile(file);
        }}
      />
      <label htmlFor={id} className={className}>
        {label}
      </label>
    </>
  );
};

/** Choosing a photo from the device; where there is a touch screen, also taking one with its camera. */
export const PhotoButtons = ({ onFile, prominent }: Props) => (
  <div className="row photo-buttons">
    <FileButton
      label="Choose a photo"
      camera={false}
      className={`button${prominent ? ' button--primary' : ''}`}
      onFile={onFile}
    />
    <span className="only-touch">
      <FileButton label="Take a photo" camera className="button" onFile={onFile} />
    </span>
  </div>
);
