import { el } from '../dom.js';
import { tell } from '../language.js';
import type { Fault } from '../types.js';
import { momentInWords, workInWords } from '../words.js';

/** What the vehicle reported: what is wrong, then what to do. Faults that last come first. */
export function faultItems(faults: readonly Fault[], timeZone: string): HTMLElement {
  if (faults.length === 0) return el('p', {}, tell('board-no-faults'));
  const told = new Set<string>();
  return el('ul', { class: 'dots' }, ...faults.map((fault) => faultItem(fault, told, timeZone)));
}

/** @param told the lines whose reasons were told already: faults often share one */
function faultItem(fault: Fault, told: Set<string>, timeZone: string): HTMLElement {
  const { id, code, meaning, followUps } = fault;
  return el(
    'li',
    { 'data-fault': id },
    el('strong', {}, meaning?.text ?? code),
    ` (${code}): ${whenInWords(fault, timeZone)}`,
    followUps.length === 0
      ? el('p', { class: 'when' }, tell('board-fault-no-work'))
      : el('ul', { class: 'dots' }, ...followUps.map((line) => el('li', {}, toDo(line, told)))),
  );
}

function whenInWords({ state, firstSeenAt, lastSeenAt, goneAt }: Fault, timeZone: string): string {
  const from = momentInWords(firstSeenAt, timeZone);
  if (state !== 'active' && goneAt !== null)
    return tell('board-fault-gone', { from, gone: momentInWords(goneAt, timeZone) });
  return tell('board-fault-active', { from, last: momentInWords(lastSeenAt, timeZone) });
}

/** `coolant: inspect. The vehicle reports a low coolant level. …`; the codes are told already. */
function toDo({ id, component, action, causes }: Fault['followUps'][number], told: Set<string>): string {
  const work = workInWords({ component, action });
  if (told.has(id)) return work;
  told.add(id);
  const why = causes.filter(({ code }) => code !== 'follow-up-fault-codes').map(({ text }) => text);
  return [`${work}.`, ...why].join(' ');
}
