import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { randomBytes } from 'node:crypto';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { Clock } from '../platform/clock/clock.js';
import { fleetScope } from '../platform/database/fleet-scope.js';
import { listBy, lockedRowOf, type PageQuery, rowOf } from '../platform/database/records.js';
import { Transactions } from '../platform/database/transactions.js';
import { assertUnchanged } from '../platform/http/etags.js';
import { mergePatch } from '../platform/http/merge-patch.js';
import type { Page } from '../platform/http/pages.js';
import { type FieldFault, notFound, unacceptable } from '../platform/http/problem.js';
import { validated } from '../platform/http/validation.pipe.js';
import { ReminderSweeps } from './reminder-sweeps.js';
import {
  type NewReminderTargetView,
  ReminderTargetInput,
  type ReminderTargetView,
  type TestResult,
} from './reminder-target.dto.js';
import { type News, ReminderTarget, STAGES } from './reminder.entity.js';
import { isAccepted, WebhookSender } from './webhook-sender.js';

/** Standard Webhooks asks for 24 to 64 bytes. */
const SECRET_BYTES = 32;
const DEFAULT_NEWS: News[] = ['due-line', 'loss-alert', 'failed-reading'];
const SWITCHED_OFF = 'Switched off by a manager.';

@Injectable()
export class ReminderTargetsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly sender: WebhookSender,
    private readonly sweeps: ReminderSweeps,
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
      viewOf,
    );
  }

  async get(id: string): Promise<ReminderTargetView> {
    return viewOf(standing(await rowOf(this.dataSource.manager, ReminderTarget, id, 'reminder target')));
  }

  async create(input: ReminderTargetInput): Promise<NewReminderTargetView> {
    const id = uuidv7();
    const secret = `whsec_${randomBytes(SECRET_BYTES).toString('base64')}`;
    const { fleetId } = fleetScope();
    const shown = await this.transactions.write(async (tx) => {
      await this.assertUsable(tx, input);
      const now = this.clock.now();
      const target = Object.assign(new ReminderTarget(), {
        fleetId,
        id,
        secret,
        version: 1,
        createdAt: now,
        removedAt: null,
        ...columnsOf(input),
        ...standingOf(input, null, now),
      });
      await tx.insert(ReminderTarget, target);
      return viewOf(target);
    });
    const isRepeated = shown.id !== id;
    if (!isRepeated) this.sweeps.forTarget(fleetId, id);
    // Added here, so that the answer kept for the Idempotency-Key does not hold it.
    return { ...shown, secret: isRepeated ? null : secret };
  }

  async patch(id: string, patch: unknown, ifMatch: string | undefined): Promise<ReminderTargetView> {
    const { fleetId } = fleetScope();
    const shown = await this.transactions.write(async (tx) => {
      const target = standing(await lockedRowOf(tx, ReminderTarget, id, 'reminder target'));
      assertUnchanged(ifMatch, target.version);
      const input = await validated(ReminderTargetInput, mergePatch(inputOf(target), patch));
      await this.assertUsable(tx, input);
      const changed = {
        ...columnsOf(input),
        ...standingOf(input, target, this.clock.now()),
        version: target.version + 1,
      };
      await tx.update(ReminderTarget, { fleetId, id }, changed);
      return viewOf(Object.assign(target, changed));
    });
    if (shown.enabled) this.sweeps.forTarget(fleetId, id);
    return shown;
  }

  /** The row stays for the reminders that refer to it, without its secret; what still waits is not sent. */
  async remove(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const { fleetId } = standing(await lockedRowOf(tx, ReminderTarget, id, 'reminder target'));
      await tx.update(ReminderTarget, { fleetId, id }, { removedAt: this.clock.now(), secret: null });
      await tx.query(
        `update reminders set status = 'withdrawn' where fleet_id = $1 and target_id = $2 and status = 'waiting'`,
        [fleetId, id],
      );
    });
  }

  /** Sends a message that says it is a test; it counts as no reminder, and is not repeated. */
  async test(id: string): Promise<TestResult> {
    const target = standing(await rowOf(this.dataSource.manager, ReminderTarget, id, 'reminder target'));
    const now = this.clock.now();
    const result = await this.sender.send({
      id: `msg_${uuidv7()}`,
      address: target.address,
      secret: target.secret ?? '',
      body: JSON.stringify({
        type: 'reminder-target.test',
        timestamp: now.toISOString(),
        data: {
          reminderTargetId: id,
          message: 'A test: reminders to this address will look and be signed like this one.',
        },
      }),
    });
    return { delivered: isAccepted(result), ...result };
  }

  /** @throws Problem 422 when the target could not be sent to as it is asked to be */
  private async assertUsable(tx: EntityManager, input: ReminderTargetInput): Promise<void> {
    const faults: FieldFault[] = [];
    if (input.kind === 'email') {
      faults.push({
        pointer: '/kind',
        detail: 'is "email"; SMTP is not set up here, so only webhook can be sent to',
      });
    } else {
      const fault = this.sender.addressFault(input.address.trim());
      if (fault) faults.push({ pointer: '/address', detail: fault });
    }
    if (input.digest === 'daily')
      faults.push({ pointer: '/digest', detail: 'is "daily"; digests are not available here, only each' });
    if (input.repeatLateDays)
      faults.push({ pointer: '/repeatLateDays', detail: 'is not available here; leave it out, or null' });
    if (input.sendBetween && input.sendBetween.from === input.sendBetween.to)
      faults.push({
        pointer: '/sendBetween/to',
        detail: 'is the same as from; leave sendBetween out to send at any hour',
      });
    faults.push(...(await missingDepots(tx, input.depotIds ?? [])));
    if (faults.length > 0) throw unacceptable(faults);
  }
}

async function missingDepots(tx: EntityManager, depotIds: string[]): Promise<FieldFault[]> {
  if (depotIds.length === 0) return [];
  const found = await tx.query<{ id: string }[]>(
    'select id from depots where fleet_id = $1 and id = any($2::uuid[])',
    [fleetScope().fleetId, depotIds],
  );
  const known = new Set(found.map(({ id }) => id));
  return depotIds.flatMap((id, index) =>
    known.has(id.toLowerCase())
      ? []
      : [{ pointer: `/depotIds/${index}`, detail: 'there is no such depot in this fleet' }],
  );
}

/** @throws Problem 404 when the target was removed */
function standing(target: ReminderTarget): ReminderTarget {
  if (target.removedAt) throw notFound('reminder target');
  return target;
}

function columnsOf(input: ReminderTargetInput) {
  return {
    kind: input.kind,
    address: input.address.trim(),
    hears: input.hears ?? DEFAULT_NEWS,
    stages: input.stages ?? [...STAGES],
    repeatLateDays: input.repeatLateDays ?? null,
    depotIds: (input.depotIds ?? []).map((id) => id.toLowerCase()),
    components: input.components ?? [],
    digest: input.digest ?? ('each' as const),
    sendFrom: input.sendBetween?.from ?? null,
    sendTo: input.sendBetween?.to ?? null,
  };
}

/** Whether it is sent to. One that was disabled before keeps when and why. */
function standingOf(input: ReminderTargetInput, before: ReminderTarget | null, now: Date) {
  if (input.enabled ?? true) return { disabledAt: null, disabledReason: null };
  return {
    disabledAt: before?.disabledAt ?? now,
    disabledReason: before?.disabledReason ?? SWITCHED_OFF,
  };
}

const sendBetweenOf = ({ sendFrom, sendTo }: ReminderTarget) =>
  sendFrom !== null && sendTo !== null ? { from: sendFrom, to: sendTo } : null;

/** The record as it could have been posted: what a patch is applied to. */
function inputOf(target: ReminderTarget): ReminderTargetInput {
  const { kind, address, hears, stages, repeatLateDays, depotIds, components, digest } = target;
  const enabled = target.disabledAt === null;
  const sendBetween = sendBetweenOf(target);
  return { kind, address, hears, stages, repeatLateDays, depotIds, components, digest, sendBetween, enabled };
}

function viewOf(target: ReminderTarget): ReminderTargetView {
  const { kind, address, hears, stages, repeatLateDays, depotIds, components, digest } = target;
  return {
    id: target.id,
    kind,
    address,
    hears,
    stages,
    repeatLateDays,
    depotIds,
    components,
    digest,
    sendBetween: sendBetweenOf(target),
    enabled: target.disabledAt === null,
    disabledAt: target.disabledAt?.toISOString() ?? null,
    disabledReason: target.disabledReason,
    version: target.version,
    createdAt: target.createdAt.toISOString(),
  };
}
