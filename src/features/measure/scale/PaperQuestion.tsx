import { type PaperName, paperSizes } from '../../../domain/paper';

const sizeWords = (name: PaperName, longMm: number, shortMm: number): string =>
  name === 'Letter' ? 'Letter, 11 × 8½ in' : `${name}, ${longMm} × ${shortMm} mm`;

/** Asks for the size of a sheet of paper. */
export const PaperQuestion = ({ onPaper }: { readonly onPaper: (name: PaperName) => void }) => (
  <fieldset className="stack question">
    <legend>Which size is this sheet of paper?</legend>
    <div className="row question-choices">
      {paperSizes.map(({ name, longMm, shortMm }) => (
        <button key={name} type="button" className="button button--primary" onClick={() => onPaper(name)}>
          {sizeWords(name, longMm, shortMm)}
        </button>
      ))}
    </div>
    <p className="small soft">
      Paper is cut to within a millimetre or two, so the ± is wider than with a card.
    </p>
  </fieldset>
);
