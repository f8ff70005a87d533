import { useId, useState } from 'react';
import { type Coin, easilyConfused, measurableCoins, searchCoins } from '../../../domain/coins';
import { formatDecimals } from '../../../domain/units';
import { LengthForm } from '../../../ui/fields/LengthForm';

interface Props {
  readonly onCoin: (diameterMm: number, thicknessMm: number | null) => void;
}

/** Coins shown at a time; more would only be scrolled past. */
const MOST_SHOWN = 6;

const sizeOf = ({ diameterMm }: Coin): string => `${formatDecimals(diameterMm, 2)} mm`;

const Found = ({ coin, onCoin }: Props & { readonly coin: Coin }) => {
  const alike = easilyConfused(coin);
  return (
    <li>
      <button type="button" className="button coin" onClick={() => onCoin(coin.diameterMm, coin.thicknessMm)}>
        <span>
          {coin.name}, {coin.country}
        </span>{' '}
        <span className="soft">{sizeOf(coin)}</span>
      </button>
      {alike.length > 0 && (
        <span className="small soft">
          Much like {alike.map((other) => `${other.name}, ${other.country}`).join('; ')}
        </span>
      )}
    </li>
  );
};

/** Asks which coin lies there: found by country or name, or its diameter typed. */
export const CoinQuestion = ({ onCoin }: Props) => {
  const id = useId();
  const [search, setSearch] = useState('');
  const measurable = new Set(measurableCoins());
  const found = search.trim() === '' ? [] : searchCoins(search).filter((coin) => measurable.has(coin));
  return (
    <fieldset className="stack question">
      <legend>Which coin is it?</legend>
      <div className="field">
        <label htmlFor={id}>Country or name of the coin</label>
        <input
          id={id}
          type="search"
          value={search}
          placeholder="euro 1, or Sweden"
          autoComplete="off"
          onChange={(event) => setSearch(event.target.value)}
        />
      </div>
      {search.trim() !== '' && found.length === 0 && (
        <p role="status">No round coin of that name is listed. Type its diameter instead.</p>
      )}
      {found.length > 0 && (
        <ul className="stack-tight" aria-label="Coins found">
          {found.slice(0, MOST_SHOWN).map((coin) => (
            <Found key={`${coin.country} ${coin.name}`} coin={coin} onCoin={onCoin} />
          ))}
        </ul>
      )}
      {found.length > MOST_SHOWN && (
        <p className="small soft">{found.length - MOST_SHOWN} more: type more of the name.</p>
      )}
      <LengthForm
        label="Or its diameter"
        example="23.25 mm"
        action="Use this"
        onLength={(mm) => onCoin(mm, null)}
      />
    </fieldset>
  );
};
