import { parseArgs } from 'node:util';

export interface Options {
  vehicles: number;
  fleets: number;
  /** The file to write the figures to; null for none. */
  json: string | null;
  /** Comma-separated beginnings of group names to run; null runs all. */
  only: string | null;
  /**
   * Directory for the CPU profile of each process and for PostgreSQL's log of slow statements; null
   * for none.
   */
  profile: string | null;
}

export const USAGE =
  'usage: npm run bench -- [--vehicles N] [--fleets M] [--only <group>,<group>…] [--json FILE] [--profile DIR]';

/** The fleet size at which the summary is measured. */
const USUAL_FLEET = 5000;

/** @throws Error with a message for the command line */
export function readOptions(args: string[]): Options {
  const { values } = parseArgs({
    args,
    options: {
      vehicles: { type: 'string', default: '20000' },
      fleets: { type: 'string' },
      json: { type: 'string' },
      only: { type: 'string' },
      profile: { type: 'string' },
    },
  });
  const vehicles = wholeNumber('--vehicles', values.vehicles, 1000, 20_000_000);
  const fleets =
    values.fleets === undefined
      ? Math.max(1, Math.round(vehicles / USUAL_FLEET))
      : wholeNumber('--fleets', values.fleets, 1, Math.floor(vehicles / 1000));
  return {
    vehicles,
    fleets,
    json: values.json ?? null,
    only: values.only ?? null,
    profile: values.profile ?? null,
  };
}

function wholeNumber(name: string, text: string, least: number, most: number): number {
  const value = Number(text);
  if (!/^\d+$/.test(text) || value < least || value > most)
    throw new Error(`${name} is "${text}"; a whole number from ${least} to ${most} is needed`);
  return value;
}
