import { dateOfDay, dayNumber, placeOf, placeOnStrip, rulesOf, type TimeAxis } from './time-axis.js';
import { tell } from '../texts/tell.js';
import { dayInWords, shortMonth } from '../texts/dates.js';
import type { DueLine, DueState } from './due-line.js';
import { message } from './messages.js';

export { axisAround, type TimeAxis } from './time-axis.js';

const at = (percent: number): string => `${percent.toFixed(2)}%`;

/**
 * The shape that stands for a state, beside its word: a pennant, a diamond, brackets, a ring, a
 * broken ring.
 */
function Shape({ state }: { state: DueState }) {
  if (state === 'late') return <path class="solid" d="M3 15V1l11 4.5L4.5 9.5V15Z" />;
  if (state === 'due') return <path class="solid" d="M8 1l7 7-7 7-7-7Z" />;
  if (state === 'window')
    return (
      <g stroke-width="2">
        <path d="M5.5 2H2v12h3.5M10.5 2H14v12h-3.5" />
        <circle class="solid" cx="8" cy="8" r="1.4" />
      </g>
    );
  const dashes = state === 'no-baseline' ? '3 2.8' : undefined;
  return <circle cx="8" cy="8" r="5.5" stroke-width="1.8" stroke-dasharray={dashes} />;
}

export const Mark = ({ state }: { state: DueState }) => (
  <svg class="mark" viewBox="0 0 16 16" aria-hidden="true">
    <Shape state={state} />
  </svg>
);

/** Uprights on the strip's own days, as one path. */
const uprights = (days: readonly number[], { first }: TimeAxis): string =>
  days.map((day) => `M${day - first} 0V1`).join('');

/** The months above the strips. */
export function Ruler({ axis }: { axis: TimeAxis }) {
  return (
    <svg class="strip ruler" aria-hidden="true">
      {rulesOf(axis).firsts.map((day) => (
        <text key={day} x={at(placeOf(axis, day))} y="15" dx="3">
          {shortMonth(dateOfDay(day))}
        </text>
      ))}
    </svg>
  );
}

function Weeks({ axis }: { axis: TimeAxis }) {
  const { mondays, firsts } = rulesOf(axis);
  return (
    <svg viewBox={`0 0 ${axis.last - axis.first} 1`} preserveAspectRatio="none" aria-hidden="true">
      <path class="week" vector-effect="non-scaling-stroke" d={uprights(mondays, axis)} />
      <path class="month" vector-effect="non-scaling-stroke" d={uprights(firsts, axis)} />
    </svg>
  );
}

/** The days that an estimate may come to, at 90 %. */
function Band({ line: { earliestOn, latestOn }, axis }: { line: DueLine; axis: TimeAxis }) {
  if (earliestOn === null || latestOn === null) return null;
  const from = Math.max(0, placeOf(axis, dayNumber(earliestOn)));
  const to = Math.min(100, placeOf(axis, dayNumber(latestOn)));
  return to > from ? <rect class="band" x={at(from)} width={at(to - from)} y="7" height="8" /> : null;
}

/** The mark on its day; at the edge, with an arrow, where that lies beyond the strip. */
function DuePoint({ state, axis, day }: { state: DueState; axis: TimeAxis; day: number }) {
  const { percent, beyond } = placeOnStrip(axis, day);
  return (
    <svg x={at(Math.min(97, Math.max(3, percent)))} overflow="visible" aria-hidden="true">
      <g transform="translate(-7 4) scale(0.875)">
        {beyond === null ? (
          <Shape state={state} />
        ) : (
          <path stroke-width="2" d={beyond === 'before' ? 'M10 2 4 8l6 6' : 'M6 2l6 6-6 6'} />
        )}
      </g>
    </svg>
  );
}

/** What is drawn and no word beside it says. */
function stripInWords({ windowOpensOn, lateOn, earliestOn, latestOn }: DueLine): string {
  const parts = [
    windowOpensOn !== null && tell(message('page-window-from', { on: dayInWords(windowOpensOn) })),
    lateOn !== null && tell(message('page-late-from', { on: dayInWords(lateOn) })),
    earliestOn !== null &&
      latestOn !== null &&
      earliestOn !== latestOn &&
      tell(message('page-due-between', { earliest: dayInWords(earliestOn), latest: dayInWords(latestOn) })),
  ].filter((part) => part !== false);
  return parts.length === 0 ? tell(message('page-strip-without-date')) : parts.join(', ');
}

/**
 * A due line on ruled paper: weeks and months, today, the window's opening, its due point, and the
 * days it may come to.
 */
export function Strip({ line, axis }: { line: DueLine; axis: TimeAxis }) {
  const upright = (name: string, date: string | null, y1: number, y2: number) => {
    if (date === null) return null;
    const x = at(placeOf(axis, dayNumber(date)));
    return <line class={name} x1={x} x2={x} y1={y1} y2={y2} />;
  };
  return (
    <svg class="strip" role="img" aria-label={stripInWords(line)}>
      <Weeks axis={axis} />
      <Band line={line} axis={axis} />
      {upright('opens', line.windowOpensOn, 1, 21)}
      {upright('turns-late', line.lateOn, 12, 22)}
      {upright('today', dateOfDay(axis.today), 0, 22)}
      {line.dueOn !== null && <DuePoint state={line.state} axis={axis} day={dayNumber(line.dueOn)} />}
    </svg>
  );
}

/** The hatching that the bands are filled with, once on the page. */
export const Hatching = () => (
  <svg class="unseen" width="1" height="1" aria-hidden="true">
    <pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <line class="hatch-line" x1="0" y1="0" x2="0" y2="5" />
    </pattern>
  </svg>
);
