import { el } from '../dom.js';
import { tell } from '../language.js';
import type { Fault } from '../types.js';
import { momentInWords, workInWords } from '../words.js';

/** What the vehicle reported: what is wrong, then what to do. Faults that last come first. */
export function faultItems(faults: readonly Fault[], timeZone: string): HTMLElement {
  if (faults.length === 0) return el('p', {}, tell('board-no-faults'));
  return el('ul', { class: 'dots' }, ...faults.map((fault) => faultItem(fault, timeZone)));
}

function faultItem(fault: Fault, timeZone: string): HTMLElement {
  const { id, code, meaning, followUps } = fault;
  return el(
    'li',
    { 'data-fault': id },
    el('strong', {}, meaning?.text ?? code),
    ` (${code}): ${whenInWords(fault, timeZone)}`,
    followUps.length === 0
      ? el('p', { class: 'when' }, tell('board-fault-no-work'))
      : el('ul', { class: 'dots' }, ...followUps.map((line) => el('li', {}, toDo(line)))),
  );
}

function whenInWords({ state, firstSeenAt, lastSeenAt, goneAt }: Fault, timeZone: string): string {
  const from = momentInWords(firstSeenAt, timeZone);
  if (state !== 'active' && goneAt !== null)
    return tell('board-fault-gone', { from, gone: momentInWords(goneAt, timeZone) });
  return tell('board-fault-active', { from, last: momentInWords(lastSeenAt, timeZone) });
}

/** `coolant: inspect. The vehicle reports a low coolant level. …`; the codes are told already. */
function toDo({ component, action, causes }: Fault['followUps'][number]): string {
  const why = causes.filter(({ code }) => code !== 'follow-up-fault-codes').map(({ text }) => text);
  return [`${workInWords({ component, action })}.`, ...why].join(' ');
}
