import type { MachineReport, Refusal } from '../../../src/facts/telematics/documents/machine-report.js';
import { UnreadableDocument } from '../../../src/facts/telematics/documents/machine-report.js';
import { faultCodeText } from '../../../src/domain/faults/fault-code.js';
import { english } from '../english.js';

/** Refusals as lines: the place, then what an English reader sees. */
export const linesOf = (refused: readonly Refusal[]): string[] =>
  refused.map(({ path, why }) => `${path} ${english(why)}`);

const at = (instant: number): string => new Date(instant).toISOString().replace('.000', '');

/** The values of a report as lines, for comparison. */
export function valuesOf(report: MachineReport | undefined): string[] {
  if (report === undefined) return [];
  const { odometerKm, engineHours, coolantC, faults } = report;
  return [
    ...odometerKm.map((one) => `${at(one.at)} ${Number(one.value.toFixed(6))} km`),
    ...engineHours.map((one) => `${at(one.at)} ${one.value} h`),
    ...coolantC.map((one) => `${at(one.at)} ${Number(one.value.toFixed(6))} C`),
    ...faults.map(
      ({ at: seen, code, isActive, occurrences, lamp }) =>
        `${at(seen)} ${faultCodeText(code)} ${isActive ? 'active' : 'gone'}` +
        `${occurrences === null ? '' : ` x${occurrences}`}${lamp === undefined ? '' : ` by ${lamp}`}`,
    ),
  ];
}

/** Why a page cannot be read, in English; fails for any other outcome. */
export async function unreadable(reading: Promise<unknown>): Promise<string> {
  try {
    await reading;
  } catch (error) {
    if (error instanceof UnreadableDocument) return english(error.why);
    throw error;
  }
  throw new Error('it was read');
}
