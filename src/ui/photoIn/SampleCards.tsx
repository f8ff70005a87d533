import './photoIn.css';

interface Sample {
  readonly name: string;
  readonly title: string;
  readonly url: string;
}

interface Props {
  readonly samples: readonly Sample[];
  readonly disabled?: boolean;
  readonly onChoose: (sample: Sample) => void;
}

/** Photos to try, each with one line on what it shows. */
export const SampleCards = ({ samples, disabled = false, onChoose }: Props) => (
  <ul className="samples">
    {samples.map((sample) => (
      <li key={sample.name}>
        <button type="button" className="sample" disabled={disabled} onClick={() => onChoose(sample)}>
          <img src={sample.url} alt="" loading="lazy" decoding="async" width={400} height={300} />
          <span>{sample.title}</span>
        </button>
      </li>
    ))}
  </ul>
);
