import { workInWords } from '../../../kit/due/due-line.js';
import { dayInWords } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import type { JobAnswer } from '../../store/entries.js';
import { message } from '../../words/messages.js';
import { readingInWords, verdictInWords } from '../../words/named.js';
import type { TypedReading } from '../../readings/typed-reading.js';

type Reading = JobAnswer['readings'][number];

const worstFirst = { fail: 0, inconclusive: 1, none: 2, pass: 3 } as const;
const rank = ({ evaluation }: Reading): number => worstFirst[evaluation.verdict ?? 'none'];

function nameOf(reading: Reading): string {
  const { kind, circuit, fastener, item } = reading as Reading & { fastener?: string; item?: string };
  const given: Record<string, string> = fastener ? { fastener } : item ? { item } : {};
  return readingInWords({ kind, circuit, given } as TypedReading);
}

function Verdicts({ readings }: Pick<JobAnswer, 'readings'>) {
  return (
    <ul class="lines">
      {readings
        .toSorted((left, right) => rank(left) - rank(right))
        .map((reading) => {
          const verdict = reading.evaluation.verdict ?? 'none';
          return (
            <li key={reading.id} class={`said ${verdict}`}>
              <strong>
                {nameOf(reading)}: {verdictInWords(verdict === 'none' ? null : verdict)}
              </strong>
              {reading.evaluation.reasons.map(({ code, text }) => (
                <p key={code}>{text}</p>
              ))}
            </li>
          );
        })}
    </ul>
  );
}

function FollowUps({ followUps }: JobAnswer['outcome']) {
  if (followUps.length === 0) return null;
  return (
    <>
      <h2>{tell(message('phone-follow-ups'))}</h2>
      <ul class="lines">
        {followUps.map((line) => (
          <li key={line.id} class={line.atOnce ? 'at-once' : undefined}>
            <strong>{workInWords(line as Parameters<typeof workInWords>[0])}</strong>
            {line.atOnce
              ? ` · ${tell(message('phone-at-once'))}`
              : line.dueOn !== null && ` · ${dayInWords(line.dueOn)}`}
            {line.causes.map(({ code, text }) => (
              <p key={code}>{text}</p>
            ))}
          </li>
        ))}
      </ul>
    </>
  );
}

function Held({ held }: JobAnswer['outcome']) {
  if (held.length === 0) return null;
  return (
    <>
      <h2>{tell(message('phone-held'))}</h2>
      <ul class="lines">
        {held.flatMap(({ pointer, faults }) =>
          faults.map(({ message: said }) => <li key={`${pointer} ${said.code}`}>{said.text}</li>),
        )}
      </ul>
    </>
  );
}

/** What the service said of a report: the warning before anything else. */
export function AnswerView({ answer }: { answer: JobAnswer }) {
  return (
    <>
      {answer.warning && (
        <p class="fault warning" role="alert">
          <strong>{answer.warning.text}</strong>
        </p>
      )}
      {answer.readings.length > 0 && <h2>{tell(message('phone-verdicts'))}</h2>}
      <Verdicts readings={answer.readings} />
      <FollowUps {...answer.outcome} />
      <Held {...answer.outcome} />
      {answer.usageReading?.detail && <p class="fault">{answer.usageReading.detail.text}</p>}
      {answer.notices
        .filter(({ code }) => code !== 'released-with-findings')
        .flatMap(({ messages }) => messages)
        .map(({ code, text }) => (
          <p key={code} class="fault">
            {text}
          </p>
        ))}
    </>
  );
}
