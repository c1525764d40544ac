import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { useEffect, useRef } from 'preact/hooks';
import { momentInWords, shortDay } from '../../../kit/texts/dates.js';
import { locale, reader, tell } from '../../../kit/texts/tell.js';
import { message } from '../words/messages.js';
import { numberInWords } from '../words/words.js';
import { type Point, rowsOf } from './points.js';

/** How a line is drawn: with its points, as an estimate, or as a limit. */
export type Manner = 'measured' | 'expected' | 'limit';

export interface Line {
  name: string;
  manner: Manner;
  points: readonly Point[];
}

export interface ChartContent {
  title: string;
  /** `1` for a number without a unit. */
  unit: string;
  lines: readonly Line[];
  /** Values that are drawn across. */
  levels?: readonly { name: string; value: number }[];
  timeZone: string;
}

const HEIGHT = 180;
const DASHES: Record<Manner, number[]> = { measured: [], expected: [7, 4], limit: [2, 4] };

const withUnit = (unit: string): string =>
  unit === '1' ? '' : ` ${unit === 'C' || unit === 'F' ? '°' : ''}${unit}`;

/** The levels as lines across all that is drawn. */
function levelLines({ lines, levels = [] }: ChartContent): Line[] {
  const moments = lines.flatMap(({ points }) => points.map(({ at }) => at));
  moments.sort((a, b) => Date.parse(a) - Date.parse(b));
  const [first = '', last = ''] = [moments[0], moments.at(-1)];
  return levels.map(({ name, value }) => ({
    ...{ name, manner: 'limit' as const },
    points: [
      { at: first, value },
      { at: last, value },
    ],
  }));
}

/** The colours of the page, which the drawing cannot take from the style by itself. */
function colours(from: Element): Record<Manner | 'rule' | 'text', string> {
  const style = getComputedStyle(from);
  const of = (name: string): string => {
    const probe = document.createElement('span');
    probe.style.color = `var(${name})`;
    from.append(probe);
    const { color } = getComputedStyle(probe);
    probe.remove();
    return color;
  };
  const ink = of('--ink');
  return { measured: ink, expected: of('--clay'), limit: ink, rule: of('--rule'), text: style.color };
}

function plotOf(place: HTMLElement, lines: readonly Line[]): uPlot {
  const rows = rowsOf(lines.map(({ points }) => points)).reverse();
  const seconds = rows.map(({ at }) => Date.parse(at) / 1000);
  const values = lines.map((_, index) => rows.map((row) => row.values[index] ?? null));
  const colour = colours(place);
  const axis = {
    stroke: colour.text,
    grid: { stroke: colour.rule, width: 1 },
    ticks: { stroke: colour.rule },
  };
  return new uPlot(
    {
      ...{ width: place.clientWidth, height: HEIGHT },
      ...{ legend: { show: false }, cursor: { show: false }, padding: [8, 16, 0, 0] },
      axes: [
        {
          ...axis,
          space: 80,
          values: (_plot, splits) =>
            splits.map((at) => shortDay(new Date(at * 1000).toISOString().slice(0, 10))),
        },
        { ...axis, size: 64, values: (_plot, splits) => splits.map((value) => numberInWords(value)) },
      ],
      series: [
        {},
        ...lines.map(({ manner }) => ({
          ...{ stroke: colour[manner], width: manner === 'measured' ? 2 : 1.5, spanGaps: true },
          ...{
            dash: DASHES[manner],
            points: { show: manner === 'measured', size: 6, fill: colour.measured },
          },
        })),
      ],
    },
    [seconds, ...values],
    place,
  );
}

/** The drawing. Drawn anew in the colours and in the width of the page when these change. */
function Drawing({ lines }: { lines: readonly Line[] }) {
  const place = useRef<HTMLDivElement>(null);
  const { language } = reader.value;
  useEffect(() => {
    const inside = place.current;
    if (inside === null) return;
    let plot = plotOf(inside, lines);
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const again = (): void => {
      plot.destroy();
      plot = plotOf(inside, lines);
    };
    const widths = new ResizeObserver(() => plot.setSize({ width: inside.clientWidth, height: HEIGHT }));
    widths.observe(inside);
    dark.addEventListener('change', again);
    return () => {
      dark.removeEventListener('change', again);
      widths.disconnect();
      plot.destroy();
    };
  }, [lines, language]);
  return <div ref={place} class="drawing" aria-hidden="true" />;
}

/** What a line comes to, in words. */
function lineInWords({ name, points }: Line, unit: string, timeZone: string): string {
  const last = points.at(-1);
  return last === undefined
    ? name
    : tell(
        message('desk-chart-line', {
          ...{ name, count: points.length, latest: `${numberInWords(last.value)}${withUnit(unit)}` },
          at: momentInWords(last.at, timeZone),
        }),
      );
}

function Table({ title, lines, unit, timeZone }: ChartContent) {
  return (
    <details>
      <summary>{tell(message('desk-chart-table'))}</summary>
      <div
        class="scroll"
        tabIndex={0}
        role="region"
        aria-label={tell(message('desk-chart-table-of', { title }))}
      >
        <table>
          <thead>
            <tr>
              <th scope="col">{tell(message('desk-chart-when'))}</th>
              {lines.map(({ name }) => (
                <th key={name} scope="col">
                  {name}
                  {withUnit(unit)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rowsOf(lines.map(({ points }) => points)).map(({ at, values }, index) => (
              <tr key={`${at} ${index}`}>
                <th scope="row">{momentInWords(at, timeZone)}</th>
                {values.map((value, column) => (
                  <td key={lines[column]?.name}>{value === null ? '–' : numberInWords(value)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}

function Key({ lines }: { lines: readonly Line[] }) {
  return (
    <ul class="key">
      {lines.map(({ name, manner }) => (
        <li key={name}>
          <svg viewBox="0 0 32 12" class={manner} aria-hidden="true">
            <line x1="0" x2="32" y1="6" y2="6" />
            {manner === 'measured' && <circle class="solid" cx="16" cy="6" r="3" />}
          </svg>
          {name}
        </li>
      ))}
    </ul>
  );
}

/**
 * Some lines over time. What is drawn is said in words, too, and is in a table. One point makes no
 * line: it is only said.
 */
export function Chart(content: ChartContent) {
  const { title, unit, lines, levels = [], timeZone } = content;
  const drawn = lines.filter(({ points }) => points.length > 0);
  const moments = new Set(drawn.flatMap(({ points }) => points.map(({ at }) => at)));
  const said = [
    ...drawn.map((line) => lineInWords(line, unit, timeZone)),
    ...levels.map(({ name, value }) => `${name}: ${numberInWords(value)}${withUnit(unit)}`),
  ].join('. ');
  const all = [...drawn, ...levelLines({ ...content, lines: drawn })];
  const title2 = unit === '1' ? title : `${title},${withUnit(unit)}`;
  return (
    <figure>
      <figcaption>{title2}</figcaption>
      {moments.size < 2 ? (
        <p>{said}.</p>
      ) : (
        <>
          <Drawing key={`${locale()} ${JSON.stringify(all)}`} lines={all} />
          <Key lines={all} />
          <p class="unseen">{said}.</p>
          <Table {...content} lines={drawn} />
        </>
      )}
    </figure>
  );
}
