import type { EntityManager } from 'typeorm';
import { civilDateAt } from '../../../domain/calendar/zone.js';
import { releaseWarning } from '../../../domain/follow-ups/safety-findings.js';
import { dueLineView } from '../../../conclusions/due-list/due-line-view.js';
import type { DeliveryTrouble } from '../../delivery-troubles/delivery-trouble.js';
import { standingTroubles } from '../../delivery-troubles/delivery-troubles.queries.js';
import { troubleNotice } from '../../delivery-troubles/trouble-words.js';
import type { Fleet } from '../../../entities/fleet.entity.js';
import { lossAlertView } from '../../../conclusions/loss-alerts/loss-alert-view.js';
import { lossAlertRows } from '../../../conclusions/loss-alerts/loss-alerts.queries.js';
import { present } from '../../../platform/presenting/present.js';
import { kindOfNotice, startOfNotice } from '../news/trouble-notices.js';
import { STAGES } from '../../../entities/reminder.entity.js';
import type { MessageBody } from '../senders/message-body.js';
import { failedReadingRows, heldReadingRows, linesInHand } from './messages.queries.js';
import type { Recipient } from './recipient.js';
import type { ReminderInHand } from './reminder-in-hand.queries.js';
import { readingView } from '../../../facts/readings/reading-view.js';
import { usageReadingView } from '../../../facts/usage/usage-reading-view.js';

/** What a reminder says now, or how it ends when it is no longer needed. */
export type Telling = { type: string; data: unknown } | { end: 'withdrawn' | 'superseded' };

const WITHDRAWN: Telling = { end: 'withdrawn' };

/** Writes a message in the recipient's language and the fleet's units. */
export function messageText(type: string, data: unknown, now: Date, recipient: Recipient): string {
  const { language, timeZone } = recipient;
  return JSON.stringify({
    type,
    timestamp: now.toISOString(),
    language,
    timeZone,
    data: present(data, recipient),
  } satisfies MessageBody);
}

/** What a reminder about one piece of news says in the current state. */
export async function tellingOf(
  manager: EntityManager,
  fleet: Fleet,
  reminder: ReminderInHand,
  now: Date,
): Promise<Telling> {
  const { news, subjectId } = reminder;
  if (news === 'due-line') {
    const [telling] = await tellingsOfLines(manager, fleet, [reminder], now);
    return telling ?? WITHDRAWN;
  }
  if (news === 'delivery-trouble') return ofTrouble(manager, fleet, reminder, now);
  const tell = { 'loss-alert': ofAlert, 'failed-reading': ofFailedReading, 'held-reading': ofHeldReading };
  if (news === 'digest' || subjectId === null)
    throw new Error(`a digest is not told by itself: ${reminder.reminderId}`);
  return tell[news](manager, fleet.id, subjectId, now);
}

/** What reminders about due lines say, in the same order. */
export async function tellingsOfLines(
  manager: EntityManager,
  fleet: Fleet,
  reminders: readonly ReminderInHand[],
  now: Date,
): Promise<Telling[]> {
  const ids = reminders.map(({ dueLineId }) => dueLineId).filter((id) => id !== null);
  const today = civilDateAt(now.getTime(), fleet.timeZone);
  const lines = await linesInHand(manager, fleet.id, [...new Set(ids)], today);
  const byId = new Map(lines.map((line) => [line.id, line]));
  return reminders.map(({ dueLineId, cycle, stage, personId }) => {
    const line = byId.get(dueLineId ?? '');
    if (!line?.isOpen || stage === null || cycle !== line.lineCycle) return WITHDRAWN;
    if (personId !== null && (line.visitId === null || line.visitAssignee !== personId)) return WITHDRAWN;
    if (line.state !== stage) {
      const stands: readonly string[] = STAGES.slice(STAGES.indexOf(stage));
      return { end: stands.includes(line.state) ? 'superseded' : 'withdrawn' };
    }
    return { type: `due-line.${stage}`, data: dueLineView(line, now, fleet.timeZone) };
  });
}

/**
 * An alert that is no longer `raised` is not sent: somebody has acknowledged, shelved or cleared it
 * and so knows about it.
 */
async function ofAlert(manager: EntityManager, fleetId: string, id: string, now: Date): Promise<Telling> {
  const [alert] = await lossAlertRows(manager, fleetId, now, { id }, null, 1);
  return alert?.status === 'raised' ? { type: 'loss-alert.raised', data: lossAlertView(alert) } : WITHDRAWN;
}

async function ofFailedReading(manager: EntityManager, fleetId: string, id: string): Promise<Telling> {
  const [row] = await failedReadingRows(manager, fleetId, [id]);
  return row && row.reading.voidedAt === null
    ? { type: 'failed-reading', data: viewOfReading(row) }
    : WITHDRAWN;
}

async function ofHeldReading(manager: EntityManager, fleetId: string, id: string): Promise<Telling> {
  const [row] = await heldReadingRows(manager, fleetId, [id]);
  return row?.reading.status === 'held' ? { type: 'held-reading', data: viewOfHeld(row) } : WITHDRAWN;
}

/**
 * Trouble that has ended is not sent, except the absence of a worker, which can only be told
 * afterwards.
 */
async function ofTrouble(
  manager: EntityManager,
  fleet: Fleet,
  { cycle, subjectId, createdAt }: ReminderInHand,
  now: Date,
): Promise<Telling> {
  const kind = kindOfNotice(cycle);
  const absence: DeliveryTrouble = {
    ...{ kind: 'no-worker', since: startOfNotice(cycle), until: createdAt },
    ...{ reason: null, target: null },
  };
  const trouble =
    kind === 'no-worker'
      ? absence
      : (await standingTroubles(manager, fleet.id, now)).find(
          (standing) => standing.kind === kind && (standing.target?.id ?? fleet.id) === subjectId,
        );
  return trouble ? { type: 'delivery-trouble', data: troubleNotice(trouble, fleet.timeZone) } : WITHDRAWN;
}

type FailedRow = Awaited<ReturnType<typeof failedReadingRows>>[number];
type HeldRow = Awaited<ReturnType<typeof heldReadingRows>>[number];

export const viewOfReading = ({ vehicle, reading, isReleasedWith }: FailedRow) => ({
  warning: isReleasedWith ? releaseWarning([{ ...reading.typed, kind: reading.kind }]) : null,
  vehicle,
  ...readingView(reading, reading.firstCircuit),
});
export const viewOfHeld = ({ vehicle, reading }: HeldRow) => ({ vehicle, ...usageReadingView(reading) });
