import { type DueLine, workInWords } from '../../../kit/due/due-line.js';
import { dayInWords, momentInWords } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import type { HistoryEntry } from '../types.js';
import { message } from '../words/messages.js';
import { inCircuit, named, quantityInWords } from '../words/words.js';

type Verdict = 'pass' | 'fail' | 'inconclusive';
type Of<What extends HistoryEntry['what']> = Extract<HistoryEntry, { what: What }>;

/** An entry of the history in words. */
export interface Told {
  title: string;
  verdict: Verdict | null;
  details: string[];
}

type Work = Parameters<typeof workInWords>[0];

const told = (title: string, details: readonly (string | null | undefined | false)[] = []): Told => ({
  title,
  verdict: null,
  details: details.filter((text): text is string => typeof text === 'string' && text !== ''),
});

const judged = (entry: Told, verdict: string | null): Told => ({
  ...entry,
  verdict: verdict as Verdict | null,
});

const voidedInWords = (
  isVoided: boolean,
  reason: string | { text: string } | null | undefined,
): string | false =>
  isVoided &&
  tell(
    message('desk-history-voided', {
      reason: (typeof reason === 'string' ? reason : reason?.text) ?? '',
    }),
  );

const counters = (...quantities: Parameters<typeof quantityInWords>[0][]): string =>
  quantities
    .filter((quantity) => quantity?.value !== undefined)
    .map(quantityInWords)
    .join(', ');

function jobInWords(job: Of<'job-report'>): Told {
  const lines = job.lines.map((line) => {
    const work = workInWords(line);
    const done = line.failed ? tell(message('desk-history-had-failed', { work })) : work;
    return line.finding === null ? done : `${done}. ${line.finding}`;
  });
  const by = job.performedBy;
  const title =
    by === null ? tell(message('desk-history-job')) : tell(message('desk-history-job-by', { by }));
  const at = counters(job.odometer, job.engineHours);
  return judged(
    told(title, [
      ...lines,
      at !== '' && tell(message('desk-history-counters', { counters: at })),
      job.baseline && tell(message('desk-history-baseline')),
      voidedInWords(job.voided, job.voidReason),
    ]),
    job.verdict,
  );
}

function usageInWords(usage: Of<'usage-reading'>): Told {
  const at = counters(usage.odometer, usage.engineHours);
  const isNew = usage.odometerReplaced || usage.engineHoursReplaced;
  return told(tell(message('desk-history-usage', { counters: at, status: usage.status })), [
    isNew && tell(message('desk-history-new-counter')),
    usage.detail?.text,
    usage.reason,
    usage.decisionReason,
  ]);
}

function postponementInWords(put: Of<'postponement'>): Told {
  const work = workInWords(put);
  const until = dayInWords(put.newDueOn);
  return told(tell(message('desk-history-put-off', { work, until })), [
    put.reason,
    put.withdrawnAt !== null &&
      tell(message('desk-history-taken-back', { reason: put.withdrawnReason ?? '' })),
  ]);
}

function assignmentInWords({
  effectiveOn,
  duty,
  status,
  intervalPlanId,
  specSheetId,
}: Of<'assignment'>): Told {
  return told(
    effectiveOn === null
      ? tell(message('desk-history-assigned-first'))
      : tell(message('desk-history-assigned', { on: dayInWords(effectiveOn) })),
    [
      `${tell(message(`desk-vehicle-status-${status}`))}, ${tell(message(`desk-vehicle-duty-${duty}`))}`,
      intervalPlanId === null && tell(message('desk-vehicles-no-plan')),
      specSheetId === null && tell(message('desk-vehicles-no-sheet')),
    ],
  );
}

function decisionInWords(decision: Of<'defect-decision'>): Told {
  const { component, action, dueOn, vehicleStays, reason, decidedBy: by } = decision;
  const title = tell(
    decision.kind === 'dismiss'
      ? message('desk-history-dismissed', { by })
      : message('desk-history-triaged', { by }),
  );
  const work = component !== null && action !== null && workInWords({ component, action } as Work);
  return told(title, [
    work !== false && work,
    dueOn !== null && tell(message('desk-history-due', { on: dayInWords(dueOn) })),
    vehicleStays === true && tell(message('desk-history-stays')),
    reason,
  ]);
}

const alertName = (kind: string): string => named(`alert-${kind}`);

const circuitOf = (circuit: string | null | undefined): DueLine['circuit'] =>
  (circuit ?? undefined) as DueLine['circuit'];

type Teller = { [What in HistoryEntry['what']]: (entry: Of<What>, timeZone: string) => Told };

const TELLERS: Teller = {
  'job-report': jobInWords,
  reading: ({ kind, circuit, verdict, voided }) =>
    judged(
      told(inCircuit(named(`reading-${kind}`), circuitOf(circuit)), [voidedInWords(voided, null)]),
      verdict,
    ),
  'usage-reading': usageInWords,
  're-evaluation': ({ kind, verdict, reasons }) =>
    judged(
      told(
        tell(message('desk-history-judged-again', { reading: named(`reading-${kind}`) })),
        reasons.map(({ text }) => text),
      ),
      verdict,
    ),
  'hot-day': ({ highest, alarm, voided, voidReason }) =>
    told(
      tell(
        message('desk-history-hot-day', {
          highest: quantityInWords(highest),
          alarm: quantityInWords(alarm),
        }),
      ),
      [voidedInWords(voided, voidReason)],
    ),
  postponement: postponementInWords,
  assignment: assignmentInWords,
  'loss-alert-raised': ({ kind, standing }) =>
    told(tell(message('desk-history-alert-raised', { alert: alertName(kind) })), [
      !standing && tell(message('desk-history-alert-withdrawn')),
    ]),
  'loss-alert-cleared': ({ kind }) =>
    told(tell(message('desk-history-alert-cleared', { alert: alertName(kind) }))),
  'loss-alert-action': ({ kind, action, until, note }, timeZone) =>
    told(tell(message('desk-history-alert-action', { alert: alertName(kind), action })), [
      until !== null && tell(message('desk-history-until', { at: momentInWords(until, timeZone) })),
      note,
    ]),
  'fault-began': ({ code, meaning, voidReason }) =>
    told(tell(message('desk-history-fault-began', { fault: meaning?.text ?? code, code })), [
      voidReason !== null && voidedInWords(true, voidReason),
    ]),
  'fault-gone': ({ code, meaning }) =>
    told(tell(message('desk-history-fault-gone', { fault: meaning?.text ?? code, code }))),
  defect: ({ words, reportedBy: by }) =>
    told(
      by === null ? tell(message('desk-history-report')) : tell(message('desk-history-report-by', { by })),
      [`“${words}”`],
    ),
  'defect-decision': decisionInWords,
};

/** What happened, in words. */
export function entryInWords(entry: HistoryEntry, timeZone: string): Told {
  return (TELLERS[entry.what] as (entry: HistoryEntry, timeZone: string) => Told)(entry, timeZone);
}
