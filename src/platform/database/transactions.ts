import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager, type EntityTarget, QueryFailedError } from 'typeorm';
import { Clock } from '../clock/clock.js';
import { committed } from './after-commit.js';
import { raisingChangeNumber } from './change-number.js';
import { fleetScope } from '../scope/fleet-scope.js';
import { keepAnswer, recordedAnswer, lockKey } from './idempotency.js';
import { type Planning, planningValues, setPlanning } from './planning.js';
import { runStatement } from './statement.js';
import { WritePlaces } from './write-places.js';

const MAX_TRIES = 4;
/** serialization_failure and deadlock_detected: the work can be repeated. */
const RETRYABLE = new Set(['40001', '40P01']);

/**
 * Unique constraints that fail when two requests have the same key or report. The one that lost is
 * repeated and finds what the other one stored.
 */
const MADE_BY_BOTH = new Set(['idempotency_records_pk', 'job_reports_pk', 'job_lines_pk']);

function isRetryable(error: unknown): boolean {
  if (!(error instanceof QueryFailedError)) return false;
  const { code, constraint } = error.driverError as { code?: string; constraint?: string };
  return RETRYABLE.has(code ?? '') || MADE_BY_BOTH.has(constraint ?? '');
}

/**
 * Runs a transaction, and repeats it after a deadlock, a serialization failure or a race for the
 * same key.
 */
export async function repeating<T>(run: () => Promise<T>): Promise<T> {
  for (let attempt = 1; ; attempt++) {
    try {
      return await run();
    } catch (error) {
      if (attempt >= MAX_TRIES || !isRetryable(error)) throw error;
      await new Promise((resolve) => setTimeout(resolve, attempt * 15));
    }
  }
}

/** The answer of a write: its body, and its status when that is not the usual one. */
export interface Written<T> {
  body: T;
  status?: number;
}

/** A record that may belong to a vehicle. */
interface OfVehicle {
  fleetId: string;
  id: string;
  vehicleId: string | null;
}

/** Runs each write as one transaction. */
@Injectable()
export class Transactions {
  private vehicleId: string | null = null;

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly places: WritePlaces,
  ) {}

  /**
   * For a write to one vehicle, so that the writes of a busy vehicle leave connections to the rest
   * of its fleet.
   *
   * @param vehicleId null when the write turns out to affect several vehicles
   */
  ofVehicle(vehicleId: string | null): Transactions {
    const own = new Transactions(this.dataSource, this.clock, this.places);
    own.vehicleId = vehicleId?.toLowerCase() ?? null;
    return own;
  }

  /**
   * Like `ofVehicle`, for a write to a record that belongs to a vehicle. Without such a record, the
   * write counts for no vehicle.
   */
  async ofVehicleWith(kind: EntityTarget<OfVehicle>, id: string): Promise<Transactions> {
    const record = await this.dataSource.manager.findOne(kind, {
      select: { vehicleId: true },
      where: { fleetId: fleetScope().fleetId, id },
    });
    return this.ofVehicle(record?.vehicleId ?? null);
  }

  /**
   * Runs `work` in a transaction on behalf of the current fleet, and repeats it when PostgreSQL
   * asks for that. Raises the fleet's change number last, because that locks it for the fleet's
   * other writes. With an `Idempotency-Key`, stores the answer in the same transaction; when the
   * request is repeated, returns that answer without doing the work.
   */
  async write<T>(
    work: (tx: EntityManager) => Promise<T>,
    status = 201,
    planning: Planning = 'auto',
  ): Promise<T> {
    return (await this.writeWith(async (tx) => ({ body: await work(tx), status }), planning)).body;
  }

  /** Like `write`, for work that chooses the status of its answer. */
  writeWith<T>(
    work: (tx: EntityManager) => Promise<Written<T>>,
    planning: Planning = 'auto',
  ): Promise<Required<Written<T>>> {
    return this.insisting(async () => {
      let done: EntityManager | undefined;
      const written = await this.dataSource.transaction(async (tx) => {
        done = tx;
        const begun = this.begin(tx, planning);
        // This statement is sent first and not awaited. If it fails, the statements after it fail
        // too.
        begun.catch(() => undefined);
        try {
          return await this.once(tx, work);
        } finally {
          await begun;
        }
      });
      if (done) committed(done);
      return written;
    });
  }

  /** Runs `work` in a transaction and rolls it back, to show what a change would do. */
  tryOut<T>(work: (tx: EntityManager) => Promise<T>): Promise<T> {
    return this.insisting(async () => {
      const runner = this.dataSource.createQueryRunner();
      try {
        await runner.startTransaction();
        await this.begin(runner.manager, 'auto');
        const outcome = await work(runner.manager);
        await runner.rollbackTransaction();
        return outcome;
      } catch (error) {
        if (runner.isTransactionActive) await runner.rollbackTransaction().catch(() => undefined);
        throw error;
      } finally {
        await runner.release();
      }
    });
  }

  /**
   * Sets up the transaction: who acts, for the audit entries that the database writes itself; how
   * long to wait for a lock; and how statements are planned. A job waits for a lock as long as a
   * statement may take, a request not as long.
   */
  private async begin(tx: EntityManager, planning: Planning): Promise<void> {
    const { actor, caller } = fleetScope();
    const { lockPatienceMs } = this.places.limits;
    const who = { at: this.clock.now().toISOString(), ...actor };
    await runStatement(tx, {
      name: 'begin_write',
      text: `select set_config('app.actor', $1, true), set_config('lock_timeout', $2, true), ${setPlanning(3)}`,
      values: [JSON.stringify(who), caller ? String(lockPatienceMs) : '0', ...planningValues(planning)],
    });
  }

  /** Runs a transaction once there is a place for it. */
  private insisting<T>(run: () => Promise<T>): Promise<T> {
    const { fleetId, caller } = fleetScope();
    return this.places.taking({ fleetId, vehicleId: this.vehicleId, caller }, () => repeating(run));
  }

  private async once<T>(
    tx: EntityManager,
    work: (tx: EntityManager) => Promise<Written<T>>,
  ): Promise<Required<Written<T>>> {
    const { fleetId, idempotency } = fleetScope();
    if (!idempotency) {
      const { body, status = 201 } = await work(tx);
      await runStatement(tx, raisingChangeNumber(fleetId));
      return { body, status };
    }
    await lockKey(tx, fleetId, idempotency);
    const now = this.clock.now();
    const kept = await recordedAnswer(tx, fleetId, idempotency, now);
    if (kept) return { body: kept.body as T, status: kept.status };
    const { body, status = 201 } = await work(tx);
    await keepAnswer(tx, fleetId, idempotency, { status, body }, now);
    await runStatement(tx, raisingChangeNumber(fleetId));
    return { body, status };
  }
}
