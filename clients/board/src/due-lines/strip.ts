import { draw } from '../dom.js';
import { dateOfDay, dayNumber, placeOf, placeOnStrip, rulesOf, type TimeAxis } from './time-axis.js';
import type { DueLine, DueState } from '../types.js';
import { tell } from '../language.js';
import { dayInWords, shortMonth } from '../words.js';

const at = (percent: number): string => `${percent.toFixed(2)}%`;

/**
 * The shape that stands for a state, beside its word: a pennant, a diamond, brackets, a ring, a
 * broken ring.
 */
export function markShape(state: DueState): SVGElement {
  if (state === 'late') return draw('path', { class: 'solid', d: 'M3 15V1l11 4.5L4.5 9.5V15Z' });
  if (state === 'due') return draw('path', { class: 'solid', d: 'M8 1l7 7-7 7-7-7Z' });
  if (state === 'window')
    return draw(
      'g',
      { 'stroke-width': 2 },
      draw('path', { d: 'M5.5 2H2v12h3.5M10.5 2H14v12h-3.5' }),
      draw('circle', { class: 'solid', cx: 8, cy: 8, r: 1.4 }),
    );
  return draw('circle', {
    ...{ cx: 8, cy: 8, r: 5.5, 'stroke-width': 1.8 },
    'stroke-dasharray': state === 'no-baseline' ? '3 2.8' : null,
  });
}

export const markOf = (state: DueState): SVGSVGElement =>
  draw('svg', { class: 'mark', viewBox: '0 0 16 16', 'aria-hidden': 'true' }, markShape(state));

/** The months above the strips. */
export function ruler(axis: TimeAxis): SVGSVGElement {
  const { firsts } = rulesOf(axis);
  return draw(
    'svg',
    { class: 'weeks', 'aria-hidden': 'true' },
    ...firsts.flatMap((day) => [
      draw('line', { class: 'month', x1: at(placeOf(axis, day)), x2: at(placeOf(axis, day)), y1: 0, y2: 24 }),
      draw('text', { x: at(placeOf(axis, day)), y: 16, dx: 4 }, shortMonth(dateOfDay(day))),
    ]),
  );
}

/**
 * A line on ruled paper: weeks and months, today, the window's opening, its due point, and in a
 * lane below it the days it may come to.
 */
export function stripOf(line: DueLine, axis: TimeAxis): SVGSVGElement {
  const upright = (name: string, day: number, y1 = 0, y2 = 40): SVGElement =>
    draw('line', { class: name, x1: at(placeOf(axis, day)), x2: at(placeOf(axis, day)), y1, y2 });
  const { mondays, firsts } = rulesOf(axis);
  const strip = draw(
    'svg',
    {
      class: 'strip',
      role: 'img',
      'aria-label': turnsInWords(line),
    },
    ...mondays.map((day) => upright('week', day)),
    ...firsts.map((day) => upright('month', day)),
  );
  if (line.earliestOn !== null && line.latestOn !== null) {
    const from = Math.max(0, placeOf(axis, dayNumber(line.earliestOn)));
    const to = Math.min(100, placeOf(axis, dayNumber(line.latestOn)));
    if (to > from)
      strip.append(draw('rect', { class: 'band', x: at(from), width: at(to - from), y: 23, height: 11 }));
  }
  if (line.windowOpensOn !== null) strip.append(upright('opens', dayNumber(line.windowOpensOn), 2, 37));
  if (line.lateOn !== null) strip.append(upright('turns-late', dayNumber(line.lateOn), 27, 39));
  strip.append(upright('today', axis.today));
  if (line.dueOn !== null) strip.append(duePoint(line.state, axis, dayNumber(line.dueOn)));
  return strip;
}

/** What is drawn and stands in no word beside it. */
function turnsInWords({ windowOpensOn, lateOn }: DueLine): string {
  const opens = windowOpensOn === null ? [] : [tell('board-window-from', { on: dayInWords(windowOpensOn) })];
  const turns = lateOn === null ? [] : [tell('board-late-from', { on: dayInWords(lateOn) })];
  return [...opens, ...turns].join(', ') || tell('board-strip-without-date');
}

/** The mark on its day; at the edge, with an arrow, where that lies beyond the strip. */
function duePoint(state: DueState, axis: TimeAxis, day: number): SVGElement {
  const { percent, beyond } = placeOnStrip(axis, day);
  const shape =
    beyond === null
      ? markShape(state)
      : draw('path', { 'stroke-width': 2, d: beyond === 'before' ? 'M10 2 4 8l6 6' : 'M6 2l6 6-6 6' });
  return draw(
    'svg',
    { class: 'due-point', x: at(percent), y: 0, overflow: 'visible', 'aria-hidden': 'true' },
    moved(shape),
  );
}

function moved(shape: SVGElement): SVGElement {
  return draw('g', { transform: 'translate(-8 4)' }, shape);
}

/** The hatching that the bands are filled with, once on the page. */
export function hatching(): SVGSVGElement {
  return draw(
    'svg',
    { class: 'unseen', width: 1, height: 1, 'aria-hidden': 'true' },
    draw(
      'pattern',
      { id: 'hatch', width: 5, height: 5, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
      draw('line', { class: 'hatch-line', x1: 0, y1: 0, x2: 0, y2: 5 }),
    ),
  );
}
