import type { Message } from '../../../domain/message.js';
import type { Refusal } from '../../../entities/telematics-source.entity.js';
import type {
  MachineFault,
  MachineIdentity,
  MachineReport,
  TimedValue,
} from '../documents/machine-report.js';
import { message } from '../messages.js';
import { machineKey, machineName } from './machine-key.js';

/** All that a page says of one machine, in order of time. */
export interface Gathered {
  key: string;
  identity: MachineIdentity;
  odometerKm: TimedValue[];
  engineHours: TimedValue[];
  coolantC: TimedValue[];
  faults: MachineFault[];
  /** How often the page names it beyond once. */
  repeated: number;
  refusals: Refusal[];
  /** The latest instant that it gave; null if it gave none that is believed. */
  latestAt: number | null;
}

/**
 * Brings together what a page says of each machine, and refuses instants ahead of the clock and
 * second values for one instant.
 *
 * @param latest instants after this one lie ahead, epoch milliseconds
 */
export function gather(reports: readonly MachineReport[], now: Date, latest: number): Gathered[] {
  const machines = new Map<string, Gathered>();
  for (const report of reports) {
    const key = machineKey(report.identity);
    const known = machines.get(key);
    if (known) known.repeated += 1;
    const machine = known ?? emptyOf(key, report.identity);
    if (!known) machines.set(key, machine);
    const name = machineName(report.identity);
    const refuse = (path: string, why: Message): void =>
      void machine.refusals.push({ machine: name, path, why });
    for (const { path, why } of report.refused) refuse(path, why);
    const isPast = (what: string) => isNotAhead(what, now, latest, refuse);
    // Without spreading: a call takes no more than about a hundred thousand arguments.
    machine.odometerKm = machine.odometerKm.concat(report.odometerKm.filter(isPast('odometer')));
    machine.engineHours = machine.engineHours.concat(report.engineHours.filter(isPast('engineHours')));
    machine.coolantC = machine.coolantC.concat(report.coolantC.filter(isPast('coolantTemperature')));
    machine.faults = machine.faults.concat(report.faults.filter(isPast('faults')));
  }
  for (const machine of machines.values()) settle(machine);
  return [...machines.values()];
}

const emptyOf = (key: string, identity: MachineIdentity): Gathered => ({
  ...{ key, identity, odometerKm: [], engineHours: [], coolantC: [], faults: [] },
  ...{ repeated: 0, refusals: [], latestAt: null },
});

const instantText = (at: number): string => new Date(at).toISOString();

function isNotAhead(
  path: string,
  now: Date,
  latest: number,
  refuse: (path: string, why: Message) => void,
): (value: { at: number }) => boolean {
  return ({ at }) => {
    if (at <= latest) return true;
    refuse(path, message('source-value-ahead', { at: instantText(at), now: now.toISOString() }));
    return false;
  };
}

function settle(machine: Gathered): void {
  const { identity, refusals } = machine;
  const inOrder = (values: TimedValue[], path: string): TimedValue[] => {
    values.sort((a, b) => a.at - b.at);
    return values.filter(({ at, value }, index) => {
      const before = values[index - 1];
      if (before?.at !== at) return true;
      if (before.value !== value)
        refusals.push({
          ...{ machine: machineName(identity), path },
          why: message('source-two-values', { at: instantText(at) }),
        });
      return false;
    });
  };
  machine.odometerKm = inOrder(machine.odometerKm, 'odometer');
  machine.engineHours = inOrder(machine.engineHours, 'engineHours');
  machine.coolantC = inOrder(machine.coolantC, 'coolantTemperature');
  const instants = [machine.odometerKm, machine.engineHours, machine.coolantC, machine.faults].flatMap(
    (list) => list.map(({ at }) => at),
  );
  machine.latestAt = instants.length === 0 ? null : instants.reduce((a, b) => Math.max(a, b));
}
