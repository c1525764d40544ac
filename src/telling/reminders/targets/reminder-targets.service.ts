import { shownMessage } from '../../../platform/words/shown-messages.js';
import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { markWorking } from '../../delivery-troubles/delivery-troubles.queries.js';
import type { Message } from '../../../domain/message.js';
import { Clock } from '../../../platform/clock/clock.js';
import { fleetScope } from '../../../platform/scope/fleet-scope.js';
import { listBy, lockedRowOf, type PageQuery, rowOf } from '../../../platform/database/records.js';
import { Transactions } from '../../../platform/database/transactions.js';
import { assertUnchanged } from '../../../platform/resources/etags.js';
import { mergePatch } from '../../../platform/input/merge-patch.js';
import type { Page } from '../../../platform/pages/pages.js';
import { conflict, type FieldFault, notFound, unacceptable } from '../../../platform/problems/problem.js';
import { validated } from '../../../platform/input/validation.pipe.js';
import { messageText } from '../messages/messages.js';
import { recipientOf } from '../messages/recipient.js';
import { message } from './messages.js';
import { Fleet } from '../../../entities/fleet.entity.js';
import { ReminderTarget } from '../../../entities/reminder.entity.js';
import { MessageSender } from '../senders/message-sender.js';
import { type CatchUp, CatchUpService } from './catch-up.service.js';
import {
  newSecret,
  targetColumns,
  targetFailing,
  targetInput,
  targetStanding,
  targetView,
} from './reminder-target-view.js';
import {
  type NewReminderTargetView,
  ReminderTargetInput,
  type ReminderTargetView,
  type RotatedSecretView,
  type RotationInput,
  type TestResult,
} from './reminder-target.dto.js';
import { markTested, personFault, unknownFilters, withdrawWaiting } from './reminder-targets.queries.js';

const DEFAULT_OVERLAP_HOURS = 24;
const MS_PER_HOUR = 3_600_000;

@Injectable()
export class ReminderTargetsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly sender: MessageSender,
    private readonly catchUps: CatchUpService,
    private readonly clock: Clock,
  ) {}

  list(query: PageQuery): Promise<Page<ReminderTargetView>> {
    return listBy(
      this.dataSource.manager,
      ReminderTarget,
      'address',
      query,
      {},
      (builder) => builder.andWhere('r.removedAt is null'),
      targetView,
    );
  }

  async get(id: string): Promise<ReminderTargetView> {
    return targetView(standing(await rowOf(this.dataSource.manager, ReminderTarget, id, 'reminder target')));
  }

  async create(input: ReminderTargetInput): Promise<NewReminderTargetView> {
    const id = uuidv7();
    const secret = input.kind === 'webhook' ? newSecret() : null;
    const { fleetId } = fleetScope();
    let catchUp: CatchUp | null = null;
    const shown = await this.transactions.write(async (tx) => {
      await this.assertUsable(tx, input);
      const now = this.clock.now();
      const target = Object.assign(new ReminderTarget(), {
        ...{ fleetId, id, secret, previousSecret: null, previousSecretUntil: null },
        ...{ version: 1, createdAt: now, removedAt: null, failingSince: null, failingReason: null },
        ...targetColumns(input),
        ...targetStanding(input, null, now),
      });
      await tx.insert(ReminderTarget, target);
      catchUp = await this.catchUps.open(tx, target, now);
      return targetView(target);
    });
    await this.catchUps.afterCommit(catchUp);
    // Added here so that the response stored for the Idempotency-Key does not contain it.
    return { ...shown, secret: shown.id === id ? secret : null };
  }

  async patch(id: string, patch: unknown, ifMatch: string | undefined): Promise<ReminderTargetView> {
    const { fleetId } = fleetScope();
    let catchUp: CatchUp | null = null;
    const shown = await this.transactions.write(async (tx) => {
      const target = standing(await lockedRowOf(tx, ReminderTarget, id, 'reminder target'));
      assertUnchanged(ifMatch, target.version);
      const input = await validated(ReminderTargetInput, mergePatch(targetInput(target), patch));
      if (input.kind !== target.kind)
        throw unacceptable([
          {
            pointer: '/kind',
            detail: message('target-kind-fixed', { given: input.kind, kind: target.kind }),
          },
        ]);
      await this.assertUsable(tx, input);
      const now = this.clock.now();
      const changed = {
        ...targetColumns(input),
        ...targetStanding(input, target, now),
        ...targetFailing(input, target),
        version: target.version + 1,
      };
      await tx.update(ReminderTarget, { fleetId, id }, changed);
      Object.assign(target, changed);
      catchUp = await this.catchUps.open(tx, target, now);
      return targetView(target);
    });
    await this.catchUps.afterCommit(catchUp);
    return shown;
  }

  /**
   * Removes a target. The row stays, without its secret, because reminders refer to it. Waiting
   * reminders are not sent.
   */
  async remove(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const { fleetId } = standing(await lockedRowOf(tx, ReminderTarget, id, 'reminder target'));
      await tx.update(
        ReminderTarget,
        { fleetId, id },
        {
          removedAt: this.clock.now(),
          personId: null,
          secret: null,
          previousSecret: null,
          previousSecretUntil: null,
        },
      );
      await withdrawWaiting(tx, fleetId, id);
    });
  }

  /** Gives a webhook a new secret. For a while, messages are signed with the old one as well. */
  async rotateSecret(id: string, { overlapHours }: RotationInput): Promise<RotatedSecretView> {
    let secret: string | null = null;
    const shown = await this.transactions.write(async (tx) => {
      const target = standing(await lockedRowOf(tx, ReminderTarget, id, 'reminder target'));
      if (target.kind !== 'webhook') throw conflict('no-secret', message('target-without-secret'));
      secret = newSecret();
      const overlapMs = (overlapHours ?? DEFAULT_OVERLAP_HOURS) * MS_PER_HOUR;
      const until = new Date(this.clock.now().getTime() + overlapMs);
      await tx.update(
        ReminderTarget,
        { fleetId: target.fleetId, id },
        { secret, previousSecret: target.secret, previousSecretUntil: until, version: target.version + 1 },
      );
      return { previousSecretUntil: until.toISOString() };
    }, 200);
    // Not part of the response stored for the Idempotency-Key: repeating the request does not show
    // it again.
    return { ...shown, secret };
  }

  /**
   * Sends a message that is marked as a test. It does not count as a reminder and is not retried.
   */
  async test(id: string): Promise<TestResult> {
    const target = standing(await rowOf(this.dataSource.manager, ReminderTarget, id, 'reminder target'));
    // The scope holds the language of whoever asks for the test.
    const fleet = await this.dataSource.manager.findOneByOrFail(Fleet, { id: target.fleetId });
    const now = this.clock.now();
    const data = { reminderTargetId: id, message: message('reminder-test') };
    const text = messageText('reminder-target.test', data, now, recipientOf(fleet, target));
    const { outcome, error, ...result } = await this.sender.send(`msg_${uuidv7()}`, text, target, now);
    const delivered = outcome === 'accepted';
    if (delivered) {
      await markWorking(this.dataSource.manager, target.fleetId, id);
      await markTested(this.dataSource.manager, target, now);
    }
    return { delivered, ...result, error: error && shownMessage(error) };
  }

  /** @throws Problem 422 when the target cannot be used as requested */
  private async assertUsable(tx: EntityManager, input: ReminderTargetInput): Promise<void> {
    const faults: FieldFault[] = [];
    const fault = (pointer: string, detail: Message | null): void => {
      if (detail) faults.push({ pointer, detail });
    };
    fault('/kind', this.sender.kindFault(input.kind));
    fault('/address', this.sender.addressFault({ kind: input.kind, address: input.address }));
    if (input.sendBetween && input.sendBetween.from === input.sendBetween.to)
      fault('/sendBetween/to', message('target-hours-empty'));
    faults.push(...(await unknownFilters(tx, fleetScope().fleetId, input)));
    fault('/personId', await personFault(tx, input));
    if (faults.length > 0) throw unacceptable(faults);
  }
}

/** Returns the target if it still exists. @throws Problem 404 when the target was removed */
function standing(target: ReminderTarget): ReminderTarget {
  if (target.removedAt) throw notFound('reminder target');
  return target;
}
