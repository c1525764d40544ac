import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { CLOCK_TOLERANCE_MS } from '../../../domain/calendar/device-clock.js';
import { Clock } from '../../../platform/clock/clock.js';
import { Config } from '../../../platform/config/config.js';
import { fleetScope } from '../../../platform/scope/fleet-scope.js';
import { lockVehicles } from '../../../register/vehicles/vehicles.queries.js';
import { FaultsService } from '../../faults/faults.service.js';
import { TemperaturesService } from '../../temperatures/temperatures.service.js';
import type { UsageItem } from '../../usage/usage-batch.js';
import { UsageIntakeService } from '../../usage/usage-intake.service.js';
import type { SourcePage } from '../documents/machine-report.js';
import { message } from '../messages.js';
import { type CounterReadings, counterReadings, type LastValues } from './counter-readings.js';
import { gather, type Gathered } from './gather.js';
import { type Counts, kept } from './intake.js';
import { machineName } from './machine-key.js';
import {
  candidates,
  countMachines,
  type KnownMachine,
  knownMachines,
  machinesOfVehicles,
  saveMachines,
  type SeenMachine,
} from './machines.queries.js';
import { Candidates, leaders, type Match, numbersOf } from './matching.js';

/** A machine of a page, with what is known of it. */
interface Seen extends Match {
  id: string;
  machine: Gathered;
  known: KnownMachine | undefined;
  isBeside: boolean;
}

/** What became of a page, and the latest instant that a machine gave. */
export interface TakenPage {
  counts: Counts;
  newestAt: Date | null;
}

/** Takes the counters, faults and temperatures that sources send of machines that are vehicles. */
@Injectable()
export class TakingService {
  constructor(
    private readonly usage: UsageIntakeService,
    private readonly faults: FaultsService,
    private readonly temperatures: TemperaturesService,
    private readonly clock: Clock,
    private readonly config: Config,
  ) {}

  /**
   * Takes one page in the caller's transaction, which has locked the source. The number of
   * statements does not grow with the page.
   */
  async take(tx: EntityManager, sourceId: string, page: SourcePage): Promise<TakenPage> {
    const now = this.clock.now();
    const machines = gather(page.machines, now, now.getTime() + CLOCK_TOLERANCE_MS);
    const seen = await this.find(tx, sourceId, machines, now);
    const vehicleIds = [...new Set(seen.flatMap(({ vehicleId }) => vehicleId ?? []))];
    await lockVehicles(tx, fleetScope().fleetId, vehicleIds, []);

    const chosen = seen.map((one) => chosenOf(one));
    const usage = await this.takeUsage(tx, seen, chosen);
    const faults = await this.takeFaults(tx, seen);
    const temperatures = await this.takeTemperatures(tx, seen);
    const rows = seen.map((one, index) => rowOf(one, chosen[index], usage.ofMachine[index]));
    if (rows.length > 0) await saveMachines(tx, fleetScope().fleetId, sourceId, now, rows);

    const refusals = [
      ...page.refused.map(({ path, why }) => ({ machine: '', path, why })),
      ...machines.flatMap((machine) => machine.refusals),
    ];
    const latest = machines.reduce((newest, { latestAt }) => Math.max(newest, latestAt ?? 0), 0);
    return {
      counts: {
        ...{ pages: 1, machines: machines.length },
        unknown: seen.filter(({ vehicleId, isAmbiguous }) => vehicleId === null && !isAmbiguous).length,
        ambiguous: seen.filter(({ isAmbiguous }) => isAmbiguous).length,
        repeated: machines.reduce((sum, { repeated }) => sum + repeated, 0),
        beside: seen.filter(({ isBeside }) => isBeside).length,
        ...usage.counts,
        ...{ faults, temperatures, refused: refusals.length, refusals: kept(refusals) },
      },
      newestAt: latest === 0 ? null : new Date(latest),
    };
  }

  /** Finds which vehicle each machine is, and which of several machines gives its counters. */
  private async find(
    tx: EntityManager,
    sourceId: string,
    named: readonly Gathered[],
    now: Date,
  ): Promise<Seen[]> {
    if (named.length === 0) return [];
    const { fleetId } = fleetScope();
    const keys = named.map(({ key }) => key);
    const known = new Map((await knownMachines(tx, fleetId, sourceId, keys)).map((row) => [row.key, row]));
    const machines = await this.withinRoom(tx, named, known);
    const { vins, serials } = numbersOf(machines.map(({ identity }) => identity));
    const found = new Candidates(await candidates(tx, fleetId, vins, serials));
    const seen = machines.map((machine): Seen => {
      const own = known.get(machine.key);
      const match = found.matchOf(machine.identity, own);
      return { id: own?.id ?? uuidv7(), machine, known: own, isBeside: false, ...match };
    });
    const vehicleIds = [...new Set(seen.flatMap(({ vehicleId }) => vehicleId ?? []))];
    const present = new Map(seen.map((one) => [one.id, one]));
    const others = await machinesOfVehicles(tx, fleetId, vehicleIds);
    const leading = leaders(
      [
        ...others.filter(({ id }) => !present.has(id)),
        ...seen.flatMap(({ id, vehicleId, known: own, machine: { latestAt } }) => {
          const reportedAt = latestAt === null ? (own?.reportedAt ?? null) : new Date(latestAt);
          return vehicleId === null
            ? []
            : [{ id, vehicleId, firstSeenAt: own?.firstSeenAt ?? now, reportedAt }];
        }),
      ],
      now,
    );
    return seen.map((one) => ({
      ...one,
      isBeside: one.vehicleId !== null && leading.get(one.vehicleId) !== one.id,
    }));
  }

  /** The machines that are known, and as many new ones as the fleet has room for. */
  private async withinRoom(
    tx: EntityManager,
    named: readonly Gathered[],
    known: ReadonlyMap<string, KnownMachine>,
  ): Promise<Gathered[]> {
    const isNew = ({ key }: Gathered): boolean => !known.has(key);
    if (!named.some(isNew)) return [...named];
    const { telematicsMachines: limit } = this.config.fleetLimits;
    let room = limit - (await countMachines(tx, fleetScope().fleetId));
    return named.filter((machine) => {
      if (!isNew(machine) || room-- > 0) return true;
      const why = message('source-machines-too-many', { limit });
      machine.refusals.push({ machine: machineName(machine.identity), path: '', why });
      return false;
    });
  }

  /** Takes the counters, judged as typed ones are. */
  private async takeUsage(
    tx: EntityManager,
    seen: readonly Seen[],
    chosen: readonly CounterReadings[],
  ): Promise<{ counts: Pick<Counts, 'taken' | 'held' | 'duplicate' | 'passedOver'>; ofMachine: Outcome[] }> {
    const items: UsageItem[] = [];
    const machineOf: number[] = [];
    for (const [index, { readings }] of chosen.entries()) {
      const vehicleId = seen[index]?.vehicleId ?? null;
      if (vehicleId === null) continue;
      for (const reading of readings) {
        items.push({ ...reading, vehicleId, index: items.length });
        machineOf.push(index);
      }
    }
    const ofMachine = seen.map((): Outcome => ({ taken: 0, held: 0 }));
    const counts = { taken: 0, held: 0, duplicate: 0, passedOver: 0 };
    for (const { passedOver } of chosen) counts.passedOver += passedOver;
    if (items.length === 0) return { counts, ofMachine };
    const { results } = await this.usage.take(tx, items);
    for (const { index, status } of results) {
      const outcome = ofMachine[machineOf[index] ?? -1];
      if (status === 'duplicate') counts.duplicate += 1;
      else {
        const became = status === 'held' ? 'held' : 'taken';
        counts[became] += 1;
        if (outcome) outcome[became] += 1;
      }
    }
    return { counts, ofMachine };
  }

  private async takeFaults(tx: EntityManager, seen: readonly Seen[]): Promise<number> {
    const sightings = seen.flatMap(({ vehicleId, machine: { faults } }) =>
      vehicleId === null || faults.length === 0 ? [] : [{ vehicleId, sightings: faults }],
    );
    if (sightings.length === 0) return 0;
    const { added, lengthened } = await this.faults.take(tx, sightings, 'source');
    return added + lengthened;
  }

  /** Takes coolant temperatures; each that is left out counts as a refusal of its machine. */
  private async takeTemperatures(tx: EntityManager, seen: readonly Seen[]): Promise<number> {
    const given = seen.flatMap(({ vehicleId, machine }) =>
      vehicleId === null
        ? []
        : machine.coolantC.map(({ at, value }) => ({ machine, row: { vehicleId, at, celsius: value } })),
    );
    if (given.length === 0) return 0;
    const rows = given.map(({ row }) => row);
    const { accepted, refused } = await this.temperatures.take(tx, rows);
    for (const { index, detail } of refused) {
      const { machine } = given[index] as (typeof given)[number];
      const name = machineName(machine.identity);
      machine.refusals.push({ machine: name, path: 'coolantTemperature', why: detail });
    }
    return accepted;
  }
}

/** The usage readings of one machine that were believed, and those that were held. */
interface Outcome {
  taken: number;
  held: number;
}

function chosenOf({ machine, known, vehicleId, isBeside }: Seen): CounterReadings {
  const last = lastOf(known);
  if (vehicleId === null || isBeside) return { readings: [], passedOver: 0, last };
  // Another vehicle has another history, in which these values are the first.
  return counterReadings(
    machine,
    known?.vehicleId === vehicleId ? last : { odometer: null, engineHours: null },
  );
}

function lastOf(known: KnownMachine | undefined): LastValues {
  const value = (at: Date | null | undefined, given: number | null | undefined) =>
    at == null || given == null ? null : { at: at.getTime(), value: given };
  return {
    odometer: value(known?.odometerAt, known?.odometerKm),
    engineHours: value(known?.engineHoursAt, known?.engineHours),
  };
}

function rowOf(
  { id, machine, vehicleId, matchedBy, isAmbiguous, isBeside }: Seen,
  chosen: CounterReadings | undefined,
  outcome: Outcome | undefined,
): SeenMachine {
  const { odometer = null, engineHours = null } = chosen?.last ?? {};
  const { latestAt, refusals } = machine;
  return {
    ...{ id, key: machine.key, ...machine.identity, vehicleId, matchedBy, isAmbiguous, isBeside },
    reportedAt: latestAt === null ? null : new Date(latestAt),
    odometerKm: odometer?.value ?? null,
    odometerAt: odometer === null ? null : new Date(odometer.at),
    engineHours: engineHours?.value ?? null,
    engineHoursAt: engineHours === null ? null : new Date(engineHours.at),
    ...{ taken: outcome?.taken ?? 0, held: outcome?.held ?? 0, refused: refusals.length },
    lastRefusal: refusals.at(-1)?.why ?? null,
  };
}
