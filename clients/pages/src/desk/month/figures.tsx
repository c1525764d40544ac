import type { ComponentChildren } from 'preact';
import type { Message } from '../../../../../src/domain/message.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { type Definition, type Figures, partInWords, type Report } from './words.js';

/** A figure in words, with how it is counted. */
function Figure({
  name,
  of,
  report: { definitions },
  children,
}: {
  name: Message;
  of: readonly Definition[];
  report: Report;
  children: ComponentChildren;
}) {
  const what = tell(name);
  return (
    <section>
      <h2>{what}</h2>
      {children}
      <details>
        <summary>{tell(message('desk-month-how', { what }))}</summary>
        <ul class="dots">
          {of.map((one) => (
            <li key={one}>{definitions[one].text}</li>
          ))}
        </ul>
      </details>
    </section>
  );
}

const IN_TIME = [
  ['desk-month-early', 'early'],
  ['desk-month-in-window', 'inWindow'],
  ['desk-month-in-grace', 'inGrace'],
  ['desk-month-late', 'late'],
] as const;

function InTime({ total }: { total: Figures }) {
  if (total.done === 0) return <p>{tell(message('desk-month-nothing-done'))}</p>;
  return (
    <dl>
      {IN_TIME.map(([code, figure]) => (
        <div key={figure}>
          <dt>{tell(message(code))}</dt>
          <dd>{partInWords(total[figure], total.done)}</dd>
        </div>
      ))}
    </dl>
  );
}

function lateness({ late, medianDaysLate, worstDaysLate }: Figures): Message {
  if (medianDaysLate === null || worstDaysLate === null) return message('desk-month-none-late');
  return message('desk-month-days-late', { count: late, median: medianDaysLate, worst: worstDaysLate });
}

function repeats({ repeatJobs: { work, repeats: count } }: Figures): Message {
  if (work === 0) return message('desk-month-no-work');
  return message('desk-month-repeated', { of: partInWords(count, work) });
}

function failed({ failedReadings }: Figures): Message[] {
  const { failed: count, closed, closedOtherwise, open, medianDaysOpen, longestDaysOpen } = failedReadings;
  if (count === 0) return [message('desk-month-none-failed')];
  return [
    message('desk-month-failed-count', { count, closed, open }),
    ...(medianDaysOpen === null || longestDaysOpen === null
      ? []
      : [message('desk-month-days-open', { median: medianDaysOpen, longest: longestDaysOpen })]),
    ...(closedOtherwise === 0 ? [] : [message('desk-month-closed-otherwise', { count: closedOtherwise })]),
  ];
}

/** The month in words. */
export function FiguresInWords({ report }: { report: Report }) {
  const { total } = report;
  return (
    <div class="figures">
      <Figure
        {...{ report }}
        name={message('desk-month-in-time')}
        of={['done', 'inWindow', 'inGrace', 'late']}
      >
        <InTime total={total} />
      </Figure>
      <Figure {...{ report }} name={message('desk-month-lateness')} of={['late', 'daysLate']}>
        <p>{tell(lateness(total))}</p>
      </Figure>
      <Figure {...{ report }} name={message('desk-month-repeats')} of={['work', 'repeatJobs']}>
        <p>{tell(repeats(total))}</p>
      </Figure>
      <Figure
        {...{ report }}
        name={message('desk-month-failed')}
        of={['failedReadings', 'closed', 'daysOpen']}
      >
        {failed(total).map((said) => (
          <p key={said.code}>{tell(said)}</p>
        ))}
      </Figure>
    </div>
  );
}
