import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { Fleet } from '../../entities/fleet.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf, type PageQuery, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import type { Page } from '../../platform/pages/pages.js';
import { conflict } from '../../platform/problems/problem.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import { WorkQueue } from '../../platform/queue/work-queue.js';
import { deliveryJob } from './delivery/delivery-jobs.js';
import { tellingOf } from './messages/messages.js';
import { reminderInHand } from './messages/reminder-in-hand.queries.js';
import type { ReminderAttemptView, ReminderQuery, ReminderView } from './reminder.dto.js';
import { Reminder } from '../../entities/reminder.entity.js';
import { message } from './messages.js';
import { type AttemptRow, attemptRows, type ReminderRow, reminderRows } from './reminders.queries.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';

const NEWEST_FIRST = new Keyset('reminders', { createdAt: KEY.instant, id: KEY.uuid });
const ATTEMPTS = new Keyset('attempts', { number: KEY.count });

@Injectable()
export class RemindersService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly clock: Clock,
    private readonly queue: WorkQueue,
  ) {}

  async list({ limit, cursor, ...asked }: ReminderQuery): Promise<Page<ReminderView>> {
    const { targetId, status, dueLineId, digestId } = asked;
    const filters = { targetId, status, dueLineId, digestId };
    const page = NEWEST_FIRST.page({ limit, cursor }, filters);
    const { manager } = this.dataSource;
    const rows = await reminderRows(manager, fleetScope().fleetId, filters, page.after, page.rowsToRead);
    return page.of(rows, viewOf);
  }

  async attempts(id: string, query: PageQuery): Promise<Page<ReminderAttemptView>> {
    const { fleetId } = await rowOf(this.dataSource.manager, Reminder, id, 'reminder');
    const page = ATTEMPTS.page(query, { id });
    const after = Number(page.after?.number ?? 0);
    const rows = await attemptRows(this.dataSource.manager, fleetId, id, after, page.rowsToRead);
    return page.of(rows, attemptView);
  }

  async resend(id: string): Promise<ReminderView> {
    const { fleetId } = fleetScope();
    const now = this.clock.now();
    const shown = await this.transactions.write(async (tx) => {
      const reminder = await lockedRowOf(tx, Reminder, id, 'reminder');
      if (reminder.status !== 'sent' && reminder.status !== 'undelivered') {
        throw conflict('not-resendable', message('reminder-not-resendable', { status: reminder.status }));
      }
      if (reminder.digestId !== null) {
        throw conflict('in-a-digest', message('reminder-in-digest', { digestId: reminder.digestId }));
      }
      const inHand = await reminderInHand(tx, fleetId, id);
      if (!inHand) throw new Error(`the reminder ${id} is gone`);
      if (reminder.news !== 'digest') {
        const fleet = await tx.findOneByOrFail(Fleet, { id: fleetId });
        if ('end' in (await tellingOf(tx, fleet, inHand, now)))
          throw conflict('no-longer-so', message('reminder-no-longer-so'));
      }
      if (inHand.isTargetOff) throw conflict('target-disabled', message('reminder-target-off'));
      await tx.update(
        Reminder,
        { fleetId, id },
        { status: 'waiting', attempts: 0, attemptedBy: null, nextAttemptAt: now, sentAt: null },
      );
      const [row] = await reminderRows(tx, fleetId, { id }, null, 1);
      if (!row) throw new Error(`the reminder ${id} is gone`);
      return viewOf(row);
    });
    await this.queue.add('deliveries', [deliveryJob(fleetId, id, 1, now, now)]);
    return shown;
  }
}

function viewOf(row: ReminderRow): ReminderView {
  const { id, targetId, news, dueLineId, subjectId, digestId, component, item, action, stage, status } = row;
  return {
    ...{ id, targetId, news, dueLineId, digestId },
    lossAlertId: news === 'loss-alert' ? subjectId : null,
    readingId: news === 'failed-reading' ? subjectId : null,
    usageReadingId: news === 'held-reading' ? subjectId : null,
    troubledTargetId: news === 'delivery-trouble' && subjectId !== fleetScope().fleetId ? subjectId : null,
    vehicle:
      row.vehicleId === null
        ? null
        : { id: row.vehicleId, unitNumber: row.unitNumber ?? '', depotId: row.depotId },
    ...{ component, item, action, stage, status },
    circuit: row.circuit ?? undefined,
    webhookId: `msg_${digestId ?? id}`,
    attempts: row.attempts,
    nextAttemptAt: status === 'waiting' && digestId === null ? row.nextAttemptAt.toISOString() : null,
    sentAt: row.sentAt?.toISOString() ?? null,
    createdAt: row.createdAt.toISOString(),
  };
}

function attemptView(row: AttemptRow): ReminderAttemptView {
  return { ...row, at: row.at.toISOString(), error: row.error && shownMessage(row.error) };
}
