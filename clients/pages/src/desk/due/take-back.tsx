import { useSignal } from '@preact/signals';
import { dueDayInWords } from '../../kit/due/due-line.js';
import { service } from '../../kit/service/session.js';
import { LinesDialog, type LineWords } from './lines-dialog.js';
import { doToLines, type NamedLine } from './many-lines.js';
import { message } from './messages.js';
import { Reason } from './reason.js';

const WORDS: LineWords = {
  way: (count) => message('desk-due-take-back', { count }),
  what: ({ length: count }) => [message('desk-due-take-back-what', { count })],
  done: (count) => message('desk-due-take-back-done', { count }),
  left: (count) => message('desk-due-take-back-left', { count }),
  was: (which, now) => message('desk-due-was-taken-back', { ...which, on: dueDayInWords(now) }),
  wasNot: (which) => message('desk-due-not-taken-back', which),
};

/** Asks why lines are no longer put off, and says what became of each. */
export function TakeBack({
  lines,
  onClose,
}: {
  lines: readonly NamedLine[];
  /** @param taken those that are no longer put off */
  onClose: (taken: readonly string[]) => void;
}) {
  const reason = useSignal('');
  const work = (some: readonly NamedLine[]) =>
    doToLines(some, async (ids) => {
      const body = { ids, reason: reason.value };
      return (await service().post('/v1/due-list/withdraw-postponements', { body })).data;
    });
  return (
    <LinesDialog {...{ lines, work, onClose }} words={WORDS} fields={['/reason']}>
      {(problems) => <Reason {...{ reason, problems }} />}
    </LinesDialog>
  );
}
