import { ProblemError } from '../../../../typescript/src/client.js';
import { service } from '../../kit/service/session.js';
import type { KeptPhoto, OutboxEntry } from '../store/entries.js';
import { dropPhoto, entriesOf, forgetOldSent, photosOf, putEntry, putPhoto } from '../store/outbox.js';

/** The service looked at the report and will not take it as it is. Anything else may pass. */
const REFUSALS: ReadonlySet<number> = new Set([400, 403, 404, 409, 413, 415, 422]);

/** What sending came to. */
export type SendingEnd = 'all-sent' | 'no-answer' | 'not-signed-in' | 'held-back';

/**
 * Sends what waits, in the order in which it was done. Each report carries its id, so a report
 * whose answer was lost is sent again and still counts once.
 */
export async function sendAll(who: string, now: () => number): Promise<SendingEnd> {
  const entries = (await entriesOf(who)).toReversed();
  let isHeldBack = false;
  for (const entry of entries) {
    const end = await sendEntry(entry, now());
    if (end === 'no-answer' || end === 'not-signed-in') return end;
    if (end === 'held-back') isHeldBack = true;
  }
  await forgetOldSent(who);
  return isHeldBack ? 'held-back' : 'all-sent';
}

async function sendEntry(entry: OutboxEntry, nowMs: number): Promise<SendingEnd> {
  if (entry.state === 'refused') return 'all-sent';
  if (entry.state === 'sent') return sendPhotos(entry.id);
  if (entry.heldUntil !== null && Date.parse(entry.heldUntil) > nowMs) return 'held-back';
  try {
    const sentAt = new Date(nowMs).toISOString();
    const body = { ...entry.report, sentAt };
    const { data } = await service().post('/v1/job-reports', { body, timeoutMs: 60_000 });
    await putEntry({ ...entry, state: 'sent', answer: data, problem: null, sentAt });
  } catch (fault) {
    const end = endOf(fault);
    if (end !== 'refused') return end;
    await putEntry({ ...entry, state: 'refused', problem: (fault as ProblemError).problem });
    return 'all-sent';
  }
  return sendPhotos(entry.id);
}

/** Photos come after their report. The service knows a photo that it already has. */
async function sendPhotos(reportId: string): Promise<SendingEnd> {
  for (const photo of await photosOf(reportId)) {
    if (photo.problem !== null) continue;
    try {
      await sendPhoto(photo);
      await dropPhoto(photo.id);
    } catch (fault) {
      const end = endOf(fault);
      if (end !== 'refused') return end;
      await putPhoto({ ...photo, problem: (fault as ProblemError).problem });
    }
  }
  return 'all-sent';
}

async function sendPhoto({ reportId, name, type, bytes }: KeptPhoto): Promise<void> {
  const form = new FormData();
  form.append('file', new Blob([bytes], { type }), name);
  await service().post('/v1/job-reports/{id}/attachments', {
    ...{ path: { id: reportId }, body: { content: form }, timeoutMs: 120_000 },
  });
}

function endOf(fault: unknown): 'refused' | 'no-answer' | 'not-signed-in' {
  if (!(fault instanceof ProblemError)) return 'no-answer';
  if (fault.status === 401) return 'not-signed-in';
  return REFUSALS.has(fault.status) ? 'refused' : 'no-answer';
}
