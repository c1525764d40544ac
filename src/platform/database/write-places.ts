import type { BeforeApplicationShutdown } from '@nestjs/common';
import { Problem } from '../problems/problem.js';
import type { Caller } from '../scope/fleet-scope.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** How many writes may hold a connection of this process, and how many may wait for one. */
export interface WriteLimits {
  /** Writes of all fleets together that may hold a connection. */
  all: number;
  ofFleet: number;
  ofVehicle: number;
  waitingOfFleet: number;
  waitingOfVehicle: number;
  /** How long a request waits for its turn, in milliseconds. */
  patienceMs: number;
  /** How long it then waits for a lock of another transaction, in milliseconds. */
  lockPatienceMs: number;
}

/**
 * The limits for a pool of this size. Reads keep a quarter of the connections, and one fleet gets a
 * sixth for its writes. The reads of other fleets stay fast while that fleet posts as fast as it
 * can (`npm run bench -- --only busy-vehicles`). When a fleet gets more than one connection, one
 * vehicle never gets all of them.
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

/** A write that asks for a place: its fleet, its vehicle and its caller. */
export interface Writer {
  fleetId: string;
  /**
   * The vehicle that the write locks; null when it locks several or none, or when that is not
   * known.
   */
  vehicleId: string | null;
  /** Left out for a background job, which waits as long as it takes. */
  caller: Caller | undefined;
}

interface Waiter {
  vehicleId: string | null;
  /** True for a request, which may be refused. A job waits. */
  isRequest: boolean;
  admit: () => void;
  refuse: (why: Problem) => void;
}

class FleetWrites {
  held = 0;
  readonly heldOf = new Map<string, number>();
  /** In the order in which they came. */
  readonly waiting = new Set<Waiter>();

  waitingOf(vehicleId: string): number {
    let count = 0;
    for (const waiter of this.waiting) if (waiter.vehicleId === vehicleId) count++;
    return count;
  }
}

const RETRY_AFTER_SECONDS = 5;

const SOON = { seconds: RETRY_AFTER_SECONDS };

/** @param members extra members of the problem */
function tooBusy(why: Message, members: Record<string, number> = {}): Problem {
  return new Problem(503, 'too-busy', why, [], { 'retry-after': String(RETRY_AFTER_SECONDS) }, members);
}

/** Another change has kept a record locked for too long. */
export function recordBusy(): Problem {
  const headers = { 'retry-after': String(RETRY_AFTER_SECONDS) };
  const detail = message('record-locked-too-long', SOON);
  return new Problem(503, 'too-busy', detail, [], headers, {}, message('title-record-busy'));
}

/** The client has gone, so nobody reads this answer. It only shows in the request log. */
const gone = (): Problem => new Problem(499, 'caller-gone', message('caller-gone'));

/**
 * Limits how many writes hold a database connection, so that writes that wait for the lock of one
 * vehicle leave connections to everybody else. The other writes wait here, where waiting costs no
 * connection. Within a fleet, first come, first served; the fleets take turns.
 *
 * A write to several vehicles counts for its fleet only. A write takes its one place in one step
 * and never waits for a second one, so writes cannot deadlock here.
 */
export class WritePlaces implements BeforeApplicationShutdown {
  private held = 0;
  private readonly fleets = new Map<string, FleetWrites>();
  /** How many requests were refused, by reason. */
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
   * Runs the work of a write once there is a place for it.
   *
   * @throws Problem 503 when too many writes are waiting, or when this one has waited for too
   *   long
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

  /**
   * Refuses the requests that still wait when the process ends, so that clients try another one.
   */
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
    // When all places were taken, fleets that hold none come first.
    const idle = [...this.fleets].filter(([, { held }]) => held === 0);
    const next = wasFull ? [...idle, ...this.fleets] : [[fleetId, fleet] as [string, FleetWrites]];
    this.admitNext(next);
    this.forgetIdle(fleetId, fleet);
  }

  /**
   * Admits at most one waiter, because one place became free. Starts with the fleet whose last
   * admission is longest ago, and takes its first waiter that fits.
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
          // Removed at once, so that nothing else can admit or refuse this waiter.
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

  /** @throws Problem 503 when the maximum number of writes is waiting */
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
