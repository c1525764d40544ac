import type { ComponentChildren } from 'preact';
import { locale, tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { type Figures, monthInWords, nameOfGroup, partInWords, type Report } from './words.js';

const written = (value: number): string =>
  new Intl.NumberFormat(locale(), { maximumFractionDigits: 1 }).format(value);
const orDash = (value: number | null): string => (value === null ? '–' : written(value));

/** What the columns of the tables show. */
const COLUMNS = [
  ['done', ({ done }: Figures) => written(done)],
  ['early', ({ early }: Figures) => written(early)],
  ['window', ({ inWindow }: Figures) => written(inWindow)],
  ['grace', ({ inGrace }: Figures) => written(inGrace)],
  ['late', ({ late }: Figures) => written(late)],
  ['worst', ({ worstDaysLate }: Figures) => orDash(worstDaysLate)],
  [
    'repeats',
    ({ repeatJobs: { repeats, work } }: Figures) => (work === 0 ? '–' : partInWords(repeats, work)),
  ],
  ['failed', ({ failedReadings }: Figures) => written(failedReadings.failed)],
  ['open', ({ failedReadings }: Figures) => written(failedReadings.open)],
  ['longest', ({ failedReadings }: Figures) => orDash(failedReadings.longestDaysOpen)],
] as const;

interface Row {
  key: string;
  name: string;
  figures: Figures;
  bar?: ComponentChildren;
}

/** Figures in rows; wider than the page it scrolls, by keyboard too. */
function FigureTable({
  title,
  of,
  rows,
}: {
  title: string;
  of: 'month' | 'depot' | 'component' | 'duty';
  rows: readonly Row[];
}) {
  const hasBars = rows.some(({ bar }) => bar !== undefined);
  return (
    <section class={`of-group of-${of}`}>
      <h2>{title}</h2>
      <div class="scroll" tabIndex={0} role="region" aria-label={title}>
        <table>
          <thead>
            <tr>
              <th scope="col">{tell(message(`desk-month-column-${of}`))}</th>
              {hasBars && <th scope="col">{tell(message('desk-month-column-bar'))}</th>}
              {COLUMNS.map(([column]) => (
                <th key={column} scope="col" class="number">
                  {tell(message(`desk-month-column-${column}`))}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ key, name, figures, bar }) => (
              <tr key={key}>
                <th scope="row">{name}</th>
                {hasBars && <td>{bar}</td>}
                {COLUMNS.map(([column, show]) => (
                  <td key={column} class="number">
                    {show(figures)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

const [WIDTH, HEIGHT] = [120, 14];

/** What was in time, in grace and late, side by side: empty, hatched and solid. */
function Bar({ figures: { early, inWindow, inGrace, late }, most }: { figures: Figures; most: number }) {
  const inTime = early + inWindow;
  const wide = (count: number): number => (most === 0 ? 0 : (count / most) * (WIDTH - 2));
  const parts = [
    ['in-time', inTime, 0],
    ['in-grace', inGrace, inTime],
    ['is-late', late, inTime + inGrace],
  ] as const;
  return (
    <svg
      class="bar"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      role="img"
      aria-label={tell(message('desk-month-bar', { inTime, grace: inGrace, late }))}
    >
      {parts.map(
        ([name, count, before]) =>
          count > 0 && (
            <rect
              key={name}
              class={name}
              x={1 + wide(before)}
              y="1"
              width={wide(count)}
              height={HEIGHT - 2}
            />
          ),
      )}
    </svg>
  );
}

/** The hatching of the bars, once for all. */
const Hatching = () => (
  <svg class="unseen" width="0" height="0" aria-hidden="true">
    <pattern
      id="month-hatch"
      width="5"
      height="5"
      patternUnits="userSpaceOnUse"
      patternTransform="rotate(45)"
    >
      <line x1="0" y1="0" x2="0" y2="5" />
    </pattern>
  </svg>
);

/** The last twelve months, and this month by depot, component and duty. */
export function Tables({ report }: { report: Report }) {
  const { trend } = report;
  const most = Math.max(...trend.map(({ done }) => done));
  const groups = [
    ['depots', 'depot'],
    ['components', 'component'],
    ['duties', 'duty'],
  ] as const;
  return (
    <>
      <Hatching />
      {groups.map(
        ([group, of]) =>
          report[group].length > 0 && (
            <FigureTable
              key={group}
              of={of}
              title={tell(message(`desk-month-${group}`))}
              rows={report[group].map((figures) => ({
                ...{ key: figures.key ?? '', name: nameOfGroup[group](figures), figures },
              }))}
            />
          ),
      )}
      <p class="faint">{report.definitions.groups.text}</p>
      <FigureTable
        of="month"
        title={tell(message('desk-month-trend'))}
        rows={trend.map((figures) => ({
          ...{ key: figures.month, name: monthInWords(figures.month), figures },
          bar: <Bar {...{ figures, most }} />,
        }))}
      />
      <p class="faint">{tell(message('desk-month-trend-key'))}</p>
    </>
  );
}
