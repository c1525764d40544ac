import { el } from '../dom.js';
import { hashOf } from '../route.js';
import { markOf, ruler, stripOf } from './strip.js';
import type { TimeAxis } from './time-axis.js';
import type { DueLine } from '../types.js';
import { dueInWords, isToDoAtOnce, remainingInWords, STATE_WORDS, workInWords } from '../words.js';

/** One due line: its vehicle and work, its state by shape and word, and its strip. */
export function dueRow(
  line: DueLine,
  axis: TimeAxis,
  { changed = false, ofVehicle = false } = {},
): HTMLElement {
  const left = remainingInWords(line);
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
      el(
        'p',
        { class: 'state' },
        markOf(line.state),
        el('span', {}, isToDoAtOnce(line) ? `At once, ${STATE_WORDS[line.state]}` : STATE_WORDS[line.state]),
      ),
      line.cause === null ? null : el('p', { class: 'when' }, `Because ${line.cause}`),
    ),
    el(
      'div',
      {},
      stripOf(line, axis),
      el('p', { class: 'when' }, dueInWords(line), left === '' ? '' : `; ${left}`),
    ),
  );
}

/** Rows under the ruler of their months. */
export function ruledRows(rows: HTMLElement[], axis: TimeAxis): HTMLElement[] {
  return [el('div', { class: 'ruler' }, el('span', { class: 'blank' }), ruler(axis)), el('ol', {}, ...rows)];
}

/** What the shapes and rules on a strip mean. */
export function stripLegend(): HTMLElement {
  const words = (text: string): HTMLElement => el('span', {}, text);
  return el(
    'details',
    { 'data-key': 'legend' },
    el('summary', { 'data-key': 'legend summary' }, 'How to read the strips'),
    el(
      'ul',
      { class: 'legend' },
      el('li', {}, markOf('late'), words('Pennant: late, past its grace')),
      el('li', {}, markOf('due'), words('Square on its corner: due')),
      el('li', {}, markOf('window'), words('Bracket: in its window, when the work may sensibly be done')),
      el('li', {}, markOf('not-due'), words('Ring: not due yet')),
      el('li', {}, markOf('no-baseline'), words('Broken ring: nothing to count from')),
    ),
    el(
      'p',
      {},
      'The mark stands on the day the work is due, or an arrow at the edge where that day lies beyond the strip. The hatched band below it reaches from the earliest to the latest day it may come to, by how the vehicle is used (90 % limits). The tall thin line is where the window opens, the short one at the foot where it turns late, the broken one is today.',
    ),
  );
}
