import { parseArgs } from 'node:util';

export interface Options {
  vehicles: number;
  fleets: number;
  /** Where the figures are written; null: nowhere. */
  json: string | null;
  /** Only the groups whose name begins so, or so, with commas between; null: all. */
  only: string | null;
  /**
   * Where each process writes what it spent its time on, and PostgreSQL its log with the slower
   * statements; null: nowhere.
   */
  profile: string | null;
}

export const USAGE =
  'usage: npm run bench -- [--vehicles N] [--fleets M] [--only <group>,<group>…] [--json FILE] [--profile DIR]';

/** A fleet of this size is what the summary is measured on. */
const USUAL_FLEET = 5000;

/** @throws Error in words for the command line */
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
