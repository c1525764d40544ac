import { el } from '../dom.js';
import { hashOf } from '../route.js';
import { markOf, ruler, stripOf } from './strip.js';
import type { TimeAxis } from './time-axis.js';
import type { DueLine } from '../types.js';
import { tell, textsOf } from '../language.js';
import { workInWords } from '../words.js';
import { DUE_STATES } from './due-states.js';
import { dueInWords, stateInWords } from './due-words.js';

/** One due line: its vehicle and work, its state by shape and word, and its strip. */
export function dueRow(
  line: DueLine,
  axis: TimeAxis,
  { changed = false, ofVehicle = false } = {},
): HTMLElement {
  const vehicle = el(
    'a',
    {
      class: 'unit',
      href: hashOf({ view: 'vehicle', vehicleId: line.vehicle.id }),
      'data-key': `unit ${line.id}`,
    },
    line.vehicle.unitNumber,
  );
  return el(
    'li',
    { class: `line state-${line.state}${changed ? ' changed' : ''}`, 'data-line': line.id },
    el(
      'div',
      {},
      el('p', {}, ofVehicle ? null : vehicle, ofVehicle ? null : ' ', workInWords(line)),
      el('p', { class: 'state' }, markOf(line.state), el('span', {}, stateInWords(line))),
      line.causes.length === 0
        ? null
        : el('p', { class: 'when' }, tell('board-because', { causes: textsOf(line.causes).join(' ') })),
    ),
    el('div', {}, stripOf(line, axis), el('p', { class: 'when' }, dueInWords(line))),
  );
}

/** Rows under the ruler of their months. */
export function ruledRows(rows: HTMLElement[], axis: TimeAxis): HTMLElement[] {
  return [el('div', { class: 'ruler' }, el('span', { class: 'blank' }), ruler(axis)), el('ol', {}, ...rows)];
}

/** What the shapes and rules on a strip mean. */
export function stripLegend(): HTMLElement {
  return el(
    'details',
    { 'data-key': 'legend' },
    el('summary', { 'data-key': 'legend summary' }, tell('board-legend')),
    el(
      'ul',
      { class: 'legend' },
      ...DUE_STATES.map((state) =>
        el('li', {}, markOf(state), el('span', {}, tell(`board-legend-${state}`))),
      ),
    ),
    el('p', {}, tell('board-legend-strip')),
  );
}
