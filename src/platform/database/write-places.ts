import type { BeforeApplicationShutdown } from '@nestjs/common';
import { Problem } from '../problems/problem.js';
import type { Caller } from '../scope/fleet-scope.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** How many writes may hold a connection of this process, and how many may wait for that. */
export interface WriteLimits {
  /** Writes of all fleets together that hold a connection. */
  all: number;
  ofFleet: number;
  ofVehicle: number;
  waitingOfFleet: number;
  waitingOfVehicle: number;
  /** How long a request waits for its turn at most, in milliseconds. */
  patienceMs: number;
  /** How long it then waits at most for what another transaction has locked. */
  lockPatienceMs: number;
}

/**
 * The limits that follow from the size of the pool. A quarter of the connections is left to
 * reads, and one fleet gets a sixth: so the reads of others stay quick while it posts as fast as
 * it can (`npm run bench -- --only busy-vehicles`). Where a fleet gets more than one, one vehicle
 * never has them all.
 *
 * @example writeLimits(12) // all 9, ofFleet 2, ofVehicle 1
 */
export function writeLimits(connections: number): WriteLimits {
  const all = connections - Math.max(1, Math.floor(connections / 4));
  const ofFleet = Math.min(all, Math.ceil(connections / 6));
  return {
    ...{ all, ofFleet, ofVehicle: Math.max(1, Math.min(2, ofFleet - 1)) },
    ...{ waitingOfFleet: 256, waitingOfVehicle: 128 },
    ...{ patienceMs: 10_000, lockPatienceMs: 10_000 },
  };
}

/** Who writes. */
export interface Writer {
  fleetId: string;
  /** The one vehicle that the write locks; null where it locks several, none, or not known yet. */
  vehicleId: string | null;
  /** Left out in a background job, which waits for as long as it takes. */
  caller: Caller | undefined;
}

interface Waiter {
  vehicleId: string | null;
  /** Whether it may be refused. */
  isRequest: boolean;
  admit: () => void;
  refuse: (why: Problem) => void;
}

class FleetWrites {
  held = 0;
  readonly heldOf = new Map<string, number>();
  /** In the order of their coming. */
  readonly waiting = new Set<Waiter>();

  waitingOf(vehicleId: string): number {
    let count = 0;
    for (const waiter of this.waiting) if (waiter.vehicleId === vehicleId) count++;
    return count;
  }
}

const RETRY_AFTER_SECONDS = 5;

const SOON = { seconds: RETRY_AFTER_SECONDS };

/** @param members what the problem tells besides */
function tooBusy(why: Message, members: Record<string, number> = {}): Problem {
  return new Problem(503, 'too-busy', why, [], { 'retry-after': String(RETRY_AFTER_SECONDS) }, members);
}

/** Another change kept a record locked for too long. */
export function recordBusy(): Problem {
  const headers = { 'retry-after': String(RETRY_AFTER_SECONDS) };
  const detail = message('record-locked-too-long', SOON);
  return new Problem(503, 'too-busy', detail, [], headers, {}, message('title-record-busy'));
}

/** Nobody reads it, and the log of requests shows it. */
const gone = (): Problem => new Problem(499, 'caller-gone', message('caller-gone'));

/**
 * Bounds how many writes hold a database connection, so that those that wait for the lock of one
 * vehicle leave connections to everybody else. The rest wait here, where waiting costs no
 * connection: within a fleet first come, first served, and the fleets in turn.
 *
 * A write of several vehicles counts for its fleet alone. A write takes its one place in one step
 * and never waits for a second one, so writes cannot wait for each other in a circle.
 */
export class WritePlaces implements BeforeApplicationShutdown {
  private held = 0;
  private readonly fleets = new Map<string, FleetWrites>();
  /** How many requests were refused, by why. */
  readonly refused = { full: 0, late: 0, gone: 0 };

  constructor(readonly limits: WriteLimits) {}

  get holding(): number {
    return this.held;
  }

  get waiting(): number {
    let count = 0;
    for (const { waiting } of this.fleets.values()) count += waiting.size;
    return count;
  }

  /**
   * Does a write's work once there is a place for it.
   *
   * @throws Problem 503 when too many wait already, or when it waited for too long
   */
  async taking<T>(writer: Writer, work: () => Promise<T>): Promise<T> {
    const { fleetId, vehicleId } = writer;
    const fleet = this.fleets.get(fleetId) ?? new FleetWrites();
    this.fleets.set(fleetId, fleet);
    if (this.hasPlace(fleet, vehicleId)) this.take(fleet, vehicleId);
    else await this.turn(fleet, writer);
    try {
      return await work();
    } finally {
      this.giveBack(fleetId, fleet, vehicleId);
    }
  }

  /** Requests that still wait when the process ends are told to go elsewhere. */
  beforeApplicationShutdown(): void {
    const detail = message('service-restarting');
    const headers = { connection: 'close', 'retry-after': String(RETRY_AFTER_SECONDS) };
    for (const { waiting } of this.fleets.values())
      for (const { isRequest, refuse } of waiting)
        if (isRequest) refuse(new Problem(503, 'ending', detail, [], headers));
  }

  private hasPlace(fleet: FleetWrites, vehicleId: string | null): boolean {
    const { all, ofFleet, ofVehicle } = this.limits;
    if (this.held >= all || fleet.held >= ofFleet) return false;
    return vehicleId === null || (fleet.heldOf.get(vehicleId) ?? 0) < ofVehicle;
  }

  private take(fleet: FleetWrites, vehicleId: string | null): void {
    this.held++;
    fleet.held++;
    if (vehicleId !== null) fleet.heldOf.set(vehicleId, (fleet.heldOf.get(vehicleId) ?? 0) + 1);
  }

  private giveBack(fleetId: string, fleet: FleetWrites, vehicleId: string | null): void {
    const wasFull = this.held >= this.limits.all;
    this.held--;
    fleet.held--;
    if (vehicleId !== null) {
      const left = (fleet.heldOf.get(vehicleId) ?? 1) - 1;
      if (left > 0) fleet.heldOf.set(vehicleId, left);
      else fleet.heldOf.delete(vehicleId);
    }
    // A fleet that writes nothing just now comes before those that do.
    const idle = [...this.fleets].filter(([, { held }]) => held === 0);
    const next = wasFull ? [...idle, ...this.fleets] : [[fleetId, fleet] as [string, FleetWrites]];
    this.admitNext(next);
    this.forgetIdle(fleetId, fleet);
  }

  /**
   * One place became free, so at most one waiter can be admitted: the first there is a place for,
   * of the fleet whose last admission was longest ago.
   */
  private admitNext(fleets: Iterable<[string, FleetWrites]>): void {
    for (const [fleetId, fleet] of fleets) {
      for (const waiter of fleet.waiting) {
        if (!this.hasPlace(fleet, waiter.vehicleId)) continue;
        this.take(fleet, waiter.vehicleId);
        this.fleets.delete(fleetId);
        this.fleets.set(fleetId, fleet);
        waiter.admit();
        return;
      }
    }
  }

  private async turn(fleet: FleetWrites, { fleetId, vehicleId, caller }: Writer): Promise<void> {
    if (caller) this.assertRoom(fleet, vehicleId);
    const { patienceMs } = this.limits;
    let late: NodeJS.Timeout | undefined;
    let leave: (() => void) | undefined;
    const waiter: Waiter = { vehicleId, isRequest: caller !== undefined, admit() {}, refuse() {} };
    fleet.waiting.add(waiter);
    try {
      await new Promise<void>((resolve, reject) => {
        waiter.admit = () => {
          // At once, so that nothing else is admitted in its stead or refuses it.
          fleet.waiting.delete(waiter);
          resolve();
        };
        waiter.refuse = (why) => {
          if (fleet.waiting.delete(waiter)) reject(why);
        };
        if (!caller) return;
        late = setTimeout(() => {
          this.refused.late++;
          waiter.refuse(tooBusy(message('write-waited-too-long', { waited: patienceMs / 1000, ...SOON })));
        }, patienceMs);
        leave = () => {
          this.refused.gone++;
          waiter.refuse(gone());
        };
        if (caller.destroyed) leave();
        else caller.once('close', leave);
      });
    } finally {
      clearTimeout(late);
      if (leave) caller?.off('close', leave);
      this.forgetIdle(fleetId, fleet);
    }
  }

  /** @throws Problem 503 when as many wait as may */
  private assertRoom(fleet: FleetWrites, vehicleId: string | null): void {
    const { waitingOfFleet, waitingOfVehicle } = this.limits;
    const present = fleet.waiting.size;
    const presentOf = vehicleId === null ? 0 : fleet.waitingOf(vehicleId);
    if (present < waitingOfFleet && presentOf < waitingOfVehicle) return;
    this.refused.full++;
    throw present >= waitingOfFleet
      ? tooBusy(message('writes-of-fleet-waiting', { present, ...SOON }), {
          limit: waitingOfFleet,
          present,
        })
      : tooBusy(message('writes-of-vehicle-waiting', { present: presentOf, ...SOON }), {
          limit: waitingOfVehicle,
          present: presentOf,
        });
  }

  private forgetIdle(fleetId: string, fleet: FleetWrites): void {
    const isIdle = fleet.held === 0 && fleet.waiting.size === 0;
    if (isIdle && this.fleets.get(fleetId) === fleet) this.fleets.delete(fleetId);
  }
}
