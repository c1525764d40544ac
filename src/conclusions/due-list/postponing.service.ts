import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../pipeline/conclusions.service.js';
import type { VehicleConclusion } from '../store/vehicle-conclusion.js';
import type { StoredLine } from '../../domain/conclusions/stored-line.js';
import type { VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import { addDays, addMonths } from '../../domain/calendar/civil-date.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { Message } from '../../domain/message.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import { conflict, type Problem, unacceptable } from '../../platform/problems/problem.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import type { PostponeInput } from './due-list.dto.js';
import { dueLineRow } from './due-list.queries.js';
import { DueLine } from '../../entities/due-line.entity.js';
import { dueLineView, type DueLineView } from './due-line-view.js';
import { Postponement } from '../../entities/postponement.entity.js';
import { message } from './messages.js';

/**
 * A longer postponement is a different interval, and belongs in the plan; common practice, no
 * source.
 */
const MOST_MONTHS = 12;

/** For a line that a reading made due at once; common practice, no source. */
const MOST_DAYS_AT_ONCE = 7;

/**
 * Two ways to compute the same value can differ in the last bits. This is one metre, or four
 * seconds of running.
 */
const ROUNDING = 0.001;

/** What a line is postponed to, in lifetime values. */
interface Target {
  on: string;
  odometerLifetimeKm: number | null;
  engineHoursLifetime: number | null;
}

/** Postpones a due line. A manager may do so once a cycle. */
@Injectable()
export class PostponingService {
  constructor(
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  async postpone(id: string, input: PostponeInput): Promise<DueLineView> {
    assertOneKind(input);
    const transactions = await this.transactions.ofVehicleWith(DueLine, id);
    return transactions.write((tx) => this.put(tx, id, input), 200);
  }

  private async put(tx: EntityManager, id: string, input: PostponeInput): Promise<DueLineView> {
    const { fleetId, timeZone, tokenId } = fleetScope();
    const { vehicleId } = await rowOf(tx, DueLine, id, 'due line');
    await lockedRowOf(tx, Vehicle, vehicleId, 'vehicle');
    const now = this.clock.now();
    const today = civilDateAt(now.getTime(), timeZone);
    const loaded = await this.conclusions.load(tx, [{ vehicleId, usageFrom: null }]);
    const [history] = loaded.histories;
    const line = history?.lines.find((stored) => stored.id === id);
    if (!history || !line) throw new Error(`the due line ${id} is not among those of its vehicle`);
    assertCanBePutOff(line);
    const target = targetOf(input, line, history, today);
    history.postponements.push({ dueLineId: id, cycle: line.cycle, ...target });
    const [conclusion] = await this.conclusions.derive(tx, loaded);
    if (!conclusion) throw new Error(`nothing was concluded of the vehicle ${vehicleId}`);
    const newDueOn = newDueOnOf(conclusion, line, input, today);
    await tx.insert(Postponement, {
      fleetId,
      id: uuidv7(),
      vehicleId,
      dueLineId: id,
      cycle: line.cycle,
      reason: input.reason.trim(),
      tokenId,
      at: now,
      untilOn: target.on,
      untilOdometerLifetimeKm: target.odometerLifetimeKm,
      untilEngineHoursLifetime: target.engineHoursLifetime,
      oldDueOn: line.dueOn,
      oldDueDate: line.dueDate,
      oldDueOdometerLifetimeKm: line.dueOdometerLifetimeKm,
      oldDueEngineHoursLifetime: line.dueEngineHoursLifetime,
      newDueOn,
    });
    await this.conclusions.store(tx, [conclusion]);
    return dueLineView(await dueLineRow(tx, fleetId, id), now, timeZone);
  }
}

const fault = (pointer: string, detail: Message): Problem => unacceptable([{ pointer, detail }]);

function assertOneKind({ until, untilUsage }: PostponeInput): void {
  if (until == null && untilUsage == null) throw fault('/until', message('postpone-until-missing'));
  if (until != null && untilUsage != null) throw fault('/untilUsage', message('postpone-until-and-usage'));
  if (untilUsage != null && untilUsage.odometer == null && untilUsage.engineHours == null)
    throw fault('/untilUsage', message('postpone-usage-empty'));
}

function assertCanBePutOff(line: StoredLine): void {
  if (!line.isOpen) throw conflict('not-open', message('postpone-not-open'));
  if (line.noBaseline) throw conflict('no-baseline', message('postpone-no-baseline'));
  if (line.postponedUntil !== null)
    throw conflict('already-postponed', message('postpone-already-done', { until: line.postponedUntil }));
  if (line.dueOn === 'infinity') throw conflict('no-due-date', message('postpone-no-due-date'));
}

function latestOnOf(line: StoredLine, today: string): string {
  const from = line.dueOn > today ? line.dueOn : today;
  return line.isAtOnce ? addDays(from, MOST_DAYS_AT_ONCE) : addMonths(from, MOST_MONTHS);
}

const mostOf = ({ isAtOnce }: StoredLine) =>
  isAtOnce
    ? ({ limit: 'days', count: MOST_DAYS_AT_ONCE } as const)
    : ({ limit: 'months', count: MOST_MONTHS } as const);

function tooLate(until: string, latestOn: string, { isAtOnce, causes }: StoredLine): Message {
  const [why] = causes ?? [];
  return isAtOnce && why !== undefined
    ? message('postpone-until-too-late-at-once', { until, days: MOST_DAYS_AT_ONCE, latestOn, why })
    : message('postpone-until-too-late', { until, months: MOST_MONTHS, latestOn });
}

function targetOf(
  { until, untilUsage }: PostponeInput,
  line: StoredLine,
  { summary }: VehicleHistory,
  today: string,
): Target {
  const latestOn = latestOnOf(line, today);
  if (until != null) {
    if (until < today) throw fault('/until', message('postpone-until-past', { until }));
    if (until <= line.dueOn)
      throw fault('/until', message('postpone-until-not-later', { until, dueOn: line.dueOn }));
    if (until > latestOn) throw fault('/until', tooLate(until, latestOn, line));
    return { on: until, odometerLifetimeKm: null, engineHoursLifetime: null };
  }
  const lifetime = (shown: number | null, offset: number | null, due: number | null, pointer: string) => {
    if (shown === null) return null;
    const value = shown + (offset ?? 0);
    if (due !== null && value <= due + ROUNDING) throw fault(pointer, message('postpone-usage-not-higher'));
    return value;
  };
  return {
    on: latestOn,
    odometerLifetimeKm: lifetime(
      canonicalOf('distance', untilUsage?.odometer),
      summary.distance.offset,
      line.dueOdometerLifetimeKm,
      '/untilUsage/odometer',
    ),
    engineHoursLifetime: lifetime(
      canonicalOf('engine-hours', untilUsage?.engineHours),
      summary.engineHours.offset,
      line.dueEngineHoursLifetime,
      '/untilUsage/engineHours',
    ),
  };
}

/**
 * The due date after the postponement.
 *
 * @throws Problem 422 when the new date is in the past or no later than before, or when the usage
 * is not reached by the latest day allowed
 */
function newDueOnOf(
  { lines }: VehicleConclusion,
  line: StoredLine,
  { until }: PostponeInput,
  today: string,
): string {
  const put = lines.find(({ id }) => id === line.id);
  if (!put) throw new Error(`the due line ${line.id} was not concluded`);
  if (until != null) return put.dueOn;
  const refuse = (detail: Message): Problem => fault('/untilUsage', detail);
  if (put.trigger === 'time') throw refuse(message('postpone-usage-not-reached', mostOf(line)));
  if (put.dueOn < today) throw refuse(message('postpone-usage-past', { on: put.dueOn }));
  if (put.dueOn <= line.dueOn)
    throw refuse(message('postpone-usage-not-later', { on: put.dueOn, dueOn: line.dueOn }));
  return put.dueOn;
}
