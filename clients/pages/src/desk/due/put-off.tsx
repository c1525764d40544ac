import { useSignal } from '@preact/signals';
import { dueDayInWords } from '../../kit/due/due-line.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { LinesDialog, type LineWords } from './lines-dialog.js';
import { doToLines, type NamedLine } from './many-lines.js';
import { message } from './messages.js';
import { Reason } from './reason.js';

const WORDS: LineWords = {
  way: (count) => message('desk-due-put-off', { count }),
  what: ({ length: count }) => [
    message('desk-due-put-off-what', { count }),
    message('desk-due-put-off-undo'),
  ],
  done: (count) => message('desk-due-put-off-done', { count }),
  left: (count) => message('desk-due-put-off-left', { count }),
  was: (which, now) => message('desk-due-was-put-off', { ...which, until: dueDayInWords(now) }),
  wasNot: (which) => message('desk-due-not-put-off', which),
};

/** Asks until when and why lines are put off, and says what became of each. */
export function PutOff({
  lines,
  onClose,
}: {
  lines: readonly NamedLine[];
  /** @param put those that were put off */
  onClose: (put: readonly string[]) => void;
}) {
  const until = useSignal('');
  const reason = useSignal('');
  const work = (some: readonly NamedLine[]) => {
    const given = { until: until.value === '' ? null : until.value, reason: reason.value };
    return doToLines(
      some,
      async (ids) => (await service().post('/v1/due-list/postpone', { body: { ids, ...given } })).data,
    );
  };
  return (
    <LinesDialog {...{ lines, work, onClose }} words={WORDS} fields={['/until', '/reason']}>
      {(problems) => (
        <>
          <Field label={tell(message('desk-due-until'))} faults={faultsOf(problems, '/until')}>
            {(about) => (
              <input
                type="date"
                {...about}
                value={until}
                onInput={(e) => (until.value = e.currentTarget.value)}
              />
            )}
          </Field>
          <Reason {...{ reason, problems }} />
        </>
      )}
    </LinesDialog>
  );
}
