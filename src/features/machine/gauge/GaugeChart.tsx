import { useEffect, useId, useRef, useState } from 'react';
import { Link } from 'wouter';
import type { CamFit } from '../../../domain/camFit';
import type { CamRecord } from '../../../domain/camFitRecords';
import type { CaliperReading, Id } from '../../../domain/records';
import { formatDecimals, formatLength, MM_PER_INCH } from '../../../domain/units';
import { NORMAL_95, perInch } from '../words';
import { chartPaths, chartScale, roundTicks } from './chartScale';

interface Props {
  readonly fit: CamFit;
  readonly records: readonly CamRecord[];
  readonly unit: CaliperReading['unit'];
  /** A wanted size and the range of readings for it. */
  readonly wish: {
    readonly pitchMm: number;
    readonly readingMm: number;
    readonly lowerMm: number | null;
    readonly upperMm: number | null;
  } | null;
}

const USUAL_WIDTH = 640;

/** The width that the page gives, px. */
const useWidth = () => {
  const ref = useRef<HTMLElement>(null);
  const [width, setWidth] = useState(USUAL_WIDTH);
  useEffect(() => {
    const element = ref.current;
    if (!element || typeof ResizeObserver === 'undefined') return;
    const observer = new ResizeObserver(([entry]) => {
      if (entry && entry.contentRect.width > 0) setWidth(entry.contentRect.width);
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return { ref, width };
};

const uOf = (record: CamRecord, dimension: CamFit['dimension']): number =>
  dimension === 'wale' ? record.uWalePitchMm : record.uCoursePitchMm;

const decimalsOf = (ticks: readonly number[]): number => {
  const step = (ticks[1] ?? 1) - (ticks[0] ?? 0);
  return Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));
};

/** Gauge against caliper reading: every swatch with its ±, the line, its band at 95 %, and a wish. */
export const GaugeChart = ({ fit, records, unit, wish }: Props) => {
  const clip = useId();
  const { ref, width } = useWidth();
  const height = Math.round(Math.min(420, Math.max(280, width * 0.62)));
  const field = { left: 46, top: 14, right: width - 14, bottom: height - 46 };
  const scale = chartScale(fit, field, wish);
  const { line, band } = chartPaths(fit, scale);
  const noun = fit.dimension === 'wale' ? 'stitches' : 'rows';
  const by = unit === 'in' ? MM_PER_INCH : 1;
  const xTicks = roundTicks(scale.readingFrom / by, scale.readingTo / by, width / 110);
  const yTicks = roundTicks(perInch(scale.pitchTo), perInch(scale.pitchFrom), height / 55);
  const recordOf = (id: Id): CamRecord | undefined => records.find((record) => record.id === id);
  const inside = (x: number): number => Math.min(field.right, Math.max(field.left, x));

  return (
    <figure ref={ref} className="gauge-chart">
      <svg width={width} height={height}>
        <title>{`Chart: ${noun} per inch against reading`}</title>
        <clipPath id={clip}>
          <rect
            x={field.left}
            y={field.top}
            width={field.right - field.left}
            height={field.bottom - field.top}
          />
        </clipPath>
        <g>
          {yTicks.map((value) => (
            <g key={value}>
              <path
                className="chart-grid"
                d={`M${field.left} ${scale.yOf(MM_PER_INCH / value)}H${field.right}`}
              />
              <text
                className="chart-number"
                x={field.left - 8}
                y={scale.yOf(MM_PER_INCH / value) + 4}
                textAnchor="end"
              >
                {formatDecimals(value, decimalsOf(yTicks))}
              </text>
            </g>
          ))}
          {xTicks.map((value) => (
            <g key={value}>
              <path className="chart-grid" d={`M${scale.xOf(value * by)} ${field.top}V${field.bottom}`} />
              <text
                className="chart-number"
                x={scale.xOf(value * by)}
                y={field.bottom + 18}
                textAnchor="middle"
              >
                {formatDecimals(value, decimalsOf(xTicks))}
              </text>
            </g>
          ))}
          <text className="chart-name" x={(field.left + field.right) / 2} y={height - 8} textAnchor="middle">
            caliper reading, {unit}
          </text>
          <text
            className="chart-name"
            transform={`translate(12 ${(field.top + field.bottom) / 2}) rotate(-90)`}
            textAnchor="middle"
          >
            {noun} per inch
          </text>
        </g>
        <g clipPath={`url(#${clip})`}>
          <path className="chart-band" d={band} />
          <path className="chart-line" d={line} />
          {wish && (
            <g className="chart-wish" data-testid="chart-wish">
              <path
                d={`M${field.left} ${scale.yOf(wish.pitchMm)}H${inside(scale.xOf(wish.readingMm))}V${field.bottom}`}
              />
              {wish.lowerMm !== null && wish.upperMm !== null && (
                <path
                  className="chart-wish-range"
                  d={`M${inside(scale.xOf(wish.lowerMm))} ${field.bottom - 4}H${inside(scale.xOf(wish.upperMm))}`}
                />
              )}
            </g>
          )}
        </g>
        {fit.points.map(({ id, readingMm, pitchMm }) => {
          const record = recordOf(id);
          const [x, y] = [scale.xOf(readingMm), scale.yOf(pitchMm)];
          const up = record ? Math.abs(scale.yOf(pitchMm + NORMAL_95 * uOf(record, fit.dimension)) - y) : 0;
          const across = record ? Math.abs(scale.xOf(readingMm + NORMAL_95 * record.uReadingMm) - x) : 0;
          return (
            <Link
              key={id}
              href={`/measure/${id}`}
              className="chart-point"
              aria-label={`Swatch at ${formatLength(readingMm, unit)}: ${formatDecimals(perInch(pitchMm), 2)} ${noun} per inch`}
            >
              <path d={`M${x - across} ${y}H${x + across}M${x} ${y - up}V${y + up}`} />
              <circle cx={x} cy={y} r="6.5" />
              <circle className="chart-touch" cx={x} cy={y} r="22" />
            </Link>
          );
        })}
      </svg>
    </figure>
  );
};
