import type { components } from '../../../../typescript/src/client.js';

export type VehicleToDecide = components['schemas']['VehicleToDecide'];
export type Matter = components['schemas']['MatterView'];
export type Link = Matter['actions'][number];

/** What is done to the vehicle as a whole, so it is offered once. */
const OF_VEHICLE: ReadonlySet<Link['action']> = new Set(['job-card', 'report-job']);

/** Everything that can be read of a matter. Lines of one visit, say, differ only in their ids. */
const readable = ({ kind, reasons, actions }: Matter): string =>
  JSON.stringify([kind, reasons.map(({ text }) => text), actions]);

/** Each matter once: a line that is due at once is not listed as late, too. */
export function eachOnce(matters: readonly Matter[]): Matter[] {
  const atOnce = new Set(matters.filter(({ kind }) => kind === 'at-once').map(({ id }) => id));
  const seen = new Set<string>();
  return matters.filter((matter) => {
    if (matter.kind === 'late' && atOnce.has(matter.id)) return false;
    const text = readable(matter);
    if (seen.has(text)) return false;
    seen.add(text);
    return true;
  });
}

/** The actions of a matter that are its own. */
export const ownActions = ({ actions }: Matter): Link[] =>
  actions.filter(({ action }) => !OF_VEHICLE.has(action));

/** What can be done to a vehicle whatever the matter, each once. */
export function vehicleActions(matters: readonly Matter[]): Link[] {
  const found = new Map<Link['action'], Link>();
  for (const link of matters.flatMap(({ actions }) => actions))
    if (OF_VEHICLE.has(link.action) && !found.has(link.action)) found.set(link.action, link);
  return [...found.values()];
}

/** The work of a due line, in words; nothing of another matter. */
export function workOf({ reasons }: Matter): string {
  const work = reasons[0]?.values.work as { text?: string } | undefined;
  return work?.text ?? '';
}

/** What a defect was reported as. */
export function reportedAs({ reasons }: Matter): string {
  const what = reasons[0]?.values.what;
  return typeof what === 'string' ? what : '';
}

/** What a loss alert is about: `bad part batch` */
export function alertOf({ reasons }: Matter): string {
  const alert = reasons[0]?.values.alert as { text?: string } | undefined;
  return alert?.text ?? '';
}
