import { useEffect, useMemo, useState } from 'react';
import { Link } from 'wouter';
import { checkLengthMm, type PrintScale, type SheetPaper } from '../../../domain/referenceSheet';
import { sheetPdf } from '../../../domain/sheetPdf';
import { sheetSvg } from '../../../domain/sheetSvg';
import { Choices } from '../../../ui/fields/Choices';
import { CheckRulersForm } from '../scale/CheckRulersForm';
import { printWords } from '../scale/SheetQuestion';
import { knownPrint, rememberPrint } from './rememberPrint';
import './sheet.css';

/** Letter is the usual paper in North America, A4 nearly everywhere else. */
const usualPaper = (): SheetPaper => (/-(US|CA|MX)$/.test(navigator.language) ? 'Letter' : 'A4');

const papers = [
  ['A4', 'A4'],
  ['Letter', 'Letter'],
] as const;

/** An address for a text as a file; it lives as long as it is shown. */
const useFile = (text: string, mime: string): string => {
  const [address, setAddress] = useState('');
  useEffect(() => {
    const made = URL.createObjectURL(new Blob([text], { type: mime }));
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [text, mime]);
  return address;
};

const Measured = () => {
  const [kept, setKept] = useState<PrintScale | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  useEffect(() => {
    let left = false;
    knownPrint().then(
      (known) => {
        if (!left) setKept((now) => now ?? known);
      },
      () => undefined,
    );
    return () => {
      left = true;
    };
  }, []);
  const keep = (print: PrintScale): void => {
    rememberPrint(print).then(
      () => {
        setKept(print);
        setProblem(null);
      },
      () =>
        setProblem('This could not be kept on the device. Try again, or type it when you measure a photo.'),
    );
  };
  return (
    <>
      <CheckRulersForm onPrint={keep} />
      {kept && (
        <p className="note note--sure" role="status">
          Remembered: {printWords(kept)}. Photos on this sheet are corrected for it.
        </p>
      )}
      {problem && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
    </>
  );
};

/** Makes the reference sheet as a file to print, and takes what its check rulers measure. */
const SheetPage = () => {
  const [paper, setPaper] = useState<SheetPaper>(usualPaper);
  const pdf = useFile(
    useMemo(() => sheetPdf(paper), [paper]),
    'application/pdf',
  );
  const svg = useFile(
    useMemo(() => sheetSvg(paper), [paper]),
    'image/svg+xml',
  );
  const name = `walewright-sheet-${paper.toLowerCase()}`;
  return (
    <div className="page sheet-page">
      <div className="stack">
        <h1>Print a reference sheet</h1>
        <p>
          Lay the swatch on it and photograph both. The squares tell the scale and the camera's tilt by
          themselves. One thing is asked, once: what the check rulers measure, because printers are off by 1
          to 2 %.
        </p>
        <Choices label="Paper" options={papers} chosen={paper} onChoose={setPaper} />
        <div className="row">
          <button type="button" className="button button--primary" onClick={() => window.print()}>
            Print it
          </button>
          <a className="button" href={pdf} download={`${name}.pdf`}>
            Save the PDF
          </a>
          <a className="button" href={svg} download={`${name}.svg`}>
            Save as SVG
          </a>
        </div>
        <ol className="sheet-steps">
          <li>Print it at 100 %, “actual size”, on plain matt paper. Do not let it be fitted to the page.</li>
          <li>
            Measure both check rulers from the middle of the first long mark to the middle of the last. They
            should be {checkLengthMm} mm; whatever you get is what counts.
          </li>
          <li>Lay the sheet flat, the swatch between the corner marks, four or more squares uncovered.</li>
        </ol>
        <h2>What your print measures</h2>
        <p className="small soft">
          A ruler will do, a caliper is better; mind its sharp points. Measured once, it is remembered.
        </p>
        <Measured />
        <p>
          <Link href="/measure" className="button">
            Go to Measure
          </Link>
        </p>
      </div>
      <img
        className={`sheet-preview sheet-preview--${paper.toLowerCase()}`}
        src={svg}
        alt={`The reference sheet on ${paper}`}
      />
    </div>
  );
};

export default SheetPage;
