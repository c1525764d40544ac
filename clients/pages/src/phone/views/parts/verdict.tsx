import type { Verdict as Verdicts } from '../../../../../../src/domain/evaluation/evaluation.js';
import type { Message } from '../../../../../../src/domain/message.js';
import { tell } from '../../../kit/texts/tell.js';
import { inUnit, type Judged } from '../../readings/judge.js';
import type { TypedReading } from '../../readings/typed-reading.js';
import { message } from '../../words/messages.js';
import { amountInWords, fieldName, verdictInWords } from '../../words/named.js';

function Reasons({ verdict, reasons }: { verdict: Verdicts | null; reasons: readonly Message[] }) {
  return (
    <>
      <p class="verdict">
        <strong>{verdictInWords(verdict)}</strong>
      </p>
      {reasons.map((reason, index) => (
        <p key={index}>{tell(reason)}</p>
      ))}
    </>
  );
}

function Said({ judged }: { judged: Judged }) {
  switch (judged.is) {
    case 'empty':
      return null;
    case 'incomplete':
      return (
        <p>
          {judged.unreadable.length > 0
            ? tell(message('phone-not-a-number', { fields: judged.unreadable.map(fieldLabel) }))
            : tell(message('phone-still-missing', { fields: judged.missing.map(fieldLabel) }))}
        </p>
      );
    case 'impossible':
      return (
        <p>
          <strong>{tell(message('phone-impossible'))}</strong> {tell(judged.fault.detail)}
        </p>
      );
    case 'judged':
      return <Reasons verdict={judged.evaluation.verdict} reasons={judged.evaluation.reasons} />;
  }
}

const fieldLabel = (name: string): string =>
  /^torque-\d+$/.test(name) ? fieldName('torques') : fieldName(name);

/** What the rules say of a reading, while it is typed; and whether another unit was meant. */
export function Verdict({
  judged,
  reading,
  change,
}: {
  judged: Judged;
  reading: TypedReading;
  change: (reading: TypedReading) => void;
}) {
  const question = judged.is === 'judged' || judged.is === 'impossible' ? judged.question : null;
  const verdict = judged.is === 'judged' ? (judged.evaluation.verdict ?? 'none') : judged.is;
  return (
    <div role="status" class={`said ${verdict}`}>
      <Said judged={judged} />
      {question !== null && (
        <div class="question">
          <p>
            {tell(
              message('phone-was-it', { amount: amountInWords(question.meant.value, question.meant.unit) }),
            )}
          </p>
          <button type="button" onClick={() => change(inUnit(reading, question.fields, question.meant.unit))}>
            {tell(
              message('phone-yes-it-was', {
                amount: amountInWords(question.meant.value, question.meant.unit),
              }),
            )}
          </button>
        </div>
      )}
    </div>
  );
}
