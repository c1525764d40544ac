import { draw, el } from '../dom.js';
import { chartScale, type Point, rowsOf, type Scale, ticksOf } from './chart-scale.js';
import { tell } from '../language.js';
import { momentInWords, numberInWords, shortDay } from '../words.js';

export interface Line {
  name: string;
  /** Solid with dots, broken, or dotted: told apart without a colour. */
  manner: 'measured' | 'expected' | 'limit';
  points: readonly Point[];
}

export interface Level {
  name: string;
  value: number;
}

export interface Chart {
  title: string;
  unit: string;
  lines: readonly Line[];
  /** Lines across at a level, with their names. */
  levels?: readonly Level[];
  /** Its zero is a level that matters, such as no loss. */
  fromZero?: boolean;
  timeZone: string;
}

const at = (percent: number): string => `${percent.toFixed(2)}%`;

/**
 * Values over time: drawn for whoever looks, summed up in words, and in a table to read one by one.
 */
export function chartFigure(chart: Chart): HTMLElement {
  const { title, unit, timeZone } = chart;
  const lines = chart.lines.filter(({ points }) => points.length > 0);
  const inUnit = unit === '1' ? '' : ` ${unit}`;
  return el(
    'figure',
    {},
    el('figcaption', {}, title, unit === '1' ? '' : ` (${unit})`),
    drawing(chart, lines, inUnit),
    el(
      'ul',
      { class: 'key' },
      ...lines.map(({ name, manner }) => keyOf(name, manner)),
      ...(chart.levels ?? []).map(({ name, value }) =>
        keyOf(`${name}: ${numberInWords(value)}${inUnit}`, 'limit'),
      ),
    ),
    el(
      'details',
      { 'data-key': `table ${title}` },
      el('summary', { 'data-key': `table summary ${title}` }, tell('board-as-table', { title })),
      tableOf(title, lines, inUnit, timeZone),
    ),
  );
}

function drawing(
  { title, levels = [], fromZero = false, timeZone }: Chart,
  lines: readonly Line[],
  inUnit: string,
): SVGSVGElement {
  const scale = chartScale(
    lines.flatMap(({ points }) => points),
    levels.map(({ value }) => value),
    fromZero,
  );
  return draw(
    'svg',
    { class: 'chart', role: 'img', 'aria-label': summedUp(title, lines, levels, inUnit, timeZone) },
    ...valueGrid(scale),
    ...dayLabels(scale),
    curves(lines, levels, scale),
    ...dots(lines, scale),
  );
}

/** Lines across at round values, and the values. */
function valueGrid(scale: Scale): SVGElement[] {
  return ticksOf(scale.low, scale.high).flatMap((tick) => {
    const y = at(scale.y(tick));
    return [
      draw('line', { class: 'grid', x1: '12%', x2: '98%', y1: y, y2: y }),
      // From the edge on: what is long reaches into the frame of a narrow chart, and is not cut.
      draw('text', { x: '1%', y, dy: 4 }, numberInWords(tick)),
    ];
  });
}

/** The first and the last day below the frame; the day in the middle where it is the only one. */
function dayLabels({ fromMs, toMs, onlyMs }: Scale): SVGElement[] {
  const label = (ms: number, anchor: string, x: number): SVGElement =>
    draw(
      'text',
      { x: at(x), y: '97%', 'text-anchor': anchor },
      shortDay(new Date(ms).toISOString().slice(0, 10)),
    );
  return onlyMs === null
    ? [label(fromMs, 'start', 12), label(toMs, 'end', 98)]
    : [label(onlyMs, 'middle', 55)];
}

/** Lines and levels, drawn in percent: stretched to the frame, while strokes keep their width. */
function curves(lines: readonly Line[], levels: readonly Level[], scale: Scale): SVGSVGElement {
  return draw(
    'svg',
    {
      ...{ viewBox: '0 0 100 100', preserveAspectRatio: 'none', width: '100%', height: '100%' },
      'aria-hidden': 'true',
    },
    ...lines.map((line) => curveOf(line, scale)),
    ...levels.map(({ value }) => levelLine(scale.y(value))),
  );
}

function curveOf({ manner, points }: Line, scale: Scale): SVGElement {
  const [one, second] = points;
  // A limit that is known at one moment is a level across, or nobody would see it.
  if (manner === 'limit' && one !== undefined && second === undefined) return levelLine(scale.y(one.value));
  return draw('polyline', {
    class: manner,
    'vector-effect': 'non-scaling-stroke',
    points: points
      .map((point) => `${scale.x(point).toFixed(3)},${scale.y(point.value).toFixed(3)}`)
      .join(' '),
  });
}

/** A dot on each measured point, and on an expected one that is alone: one point makes no line. */
function dots(lines: readonly Line[], scale: Scale): SVGElement[] {
  return lines
    .filter(({ manner, points }) => manner === 'measured' || (manner === 'expected' && points.length === 1))
    .flatMap(({ manner, points }) =>
      points.map((point) =>
        draw('circle', {
          ...{ class: manner === 'measured' ? 'solid' : 'expected', r: 3 },
          ...{ cx: at(scale.x(point)), cy: at(scale.y(point.value)) },
        }),
      ),
    );
}

const levelLine = (y: number): SVGElement =>
  draw('line', {
    ...{ class: 'limit', 'vector-effect': 'non-scaling-stroke' },
    ...{ x1: 12, x2: 98, y1: y.toFixed(3), y2: y.toFixed(3) },
  });

function keyOf(name: string, manner: Line['manner']): HTMLElement {
  return el(
    'li',
    {},
    draw(
      'svg',
      { viewBox: '0 0 32 12', 'aria-hidden': 'true' },
      draw('line', { class: manner, x1: 0, x2: 32, y1: 6, y2: 6 }),
      manner === 'measured' && draw('circle', { class: 'solid', cx: 16, cy: 6, r: 3 }),
    ),
    el('span', {}, name),
  );
}

function summedUp(
  title: string,
  lines: readonly Line[],
  levels: readonly Level[],
  inUnit: string,
  timeZone: string,
): string {
  const said = lines.map(({ name, points }) => {
    const last = points.at(-1);
    return last === undefined
      ? name
      : tell('board-chart-line', {
          name,
          count: points.length,
          latest: `${numberInWords(last.value)}${inUnit}`,
          at: momentInWords(last.at, timeZone),
        });
  });
  for (const { name, value } of levels) said.push(`${name}: ${numberInWords(value)}${inUnit}`);
  return `${title}. ${said.join('. ')}.`;
}

function tableOf(title: string, lines: readonly Line[], inUnit: string, timeZone: string): HTMLElement {
  const rows = rowsOf(lines.map(({ points }) => points));
  return el(
    'div',
    { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': tell('board-table', { title }) },
    el(
      'table',
      {},
      el(
        'thead',
        {},
        el(
          'tr',
          {},
          el('th', { scope: 'col' }, tell('board-when')),
          ...lines.map(({ name }) => el('th', { scope: 'col' }, `${name}${inUnit && `,${inUnit}`}`)),
        ),
      ),
      el(
        'tbody',
        {},
        ...rows.map(({ at: moment, values }) =>
          el(
            'tr',
            {},
            el('th', { scope: 'row' }, momentInWords(moment, timeZone)),
            ...values.map((value) => el('td', {}, value === null ? '–' : numberInWords(value))),
          ),
        ),
      ),
    ),
  );
}
