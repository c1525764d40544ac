import { workInWords } from '../../../kit/due/due-line.js';
import { momentInWords } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Fault } from '../types.js';
import { message } from '../words/messages.js';
import { Section } from './section.js';

/** What a line of work says, and why it is open; nothing of the codes, which are said already. */
const whyOf = ({ causes }: Fault['followUps'][number]): string =>
  causes
    .filter(({ code }) => code !== 'follow-up-fault-codes')
    .map(({ text }) => text)
    .join(' ');

function whenInWords({ state, firstSeenAt, lastSeenAt, goneAt }: Fault, timeZone: string): string {
  const from = momentInWords(firstSeenAt, timeZone);
  return state !== 'active' && goneAt !== null
    ? tell(message('desk-vehicle-fault-gone', { from, gone: momentInWords(goneAt, timeZone) }))
    : tell(message('desk-vehicle-fault-active', { from, last: momentInWords(lastSeenAt, timeZone) }));
}

/** @param told the lines whose reasons were told already: faults often share one */
function FaultItem({ fault, told, timeZone }: { fault: Fault; told: Set<string>; timeZone: string }) {
  const { id, code, meaning, followUps } = fault;
  const work = followUps.map((line) => {
    const isTold = told.has(line.id);
    told.add(line.id);
    const text = workInWords({ component: line.component, action: line.action, item: null });
    return { id: line.id, text: isTold ? text : `${text}. ${whyOf(line)}` };
  });
  return (
    <li class="open-item" data-fault={id}>
      <h3>
        {meaning?.text ?? code} <span class="faint">{code}</span>
      </h3>
      <p>{whenInWords(fault, timeZone)}</p>
      {work.length === 0 ? (
        <p class="faint">{tell(message('desk-vehicle-fault-no-work'))}</p>
      ) : (
        <ul class="dots">
          {work.map(({ id: lineId, text }) => (
            <li key={lineId}>{text}</li>
          ))}
        </ul>
      )}
    </li>
  );
}

/** What the vehicle reported: what is wrong, then what to do. Faults that last come first. */
export function Faults({ faults, timeZone }: { faults: readonly Fault[]; timeZone: string }) {
  if (faults.length === 0) return null;
  const told = new Set<string>();
  return (
    <Section title={tell(message('desk-vehicle-faults'))}>
      <ul>
        {faults.map((fault) => (
          <FaultItem key={fault.id} {...{ fault, told, timeZone }} />
        ))}
      </ul>
    </Section>
  );
}
