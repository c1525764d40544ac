import { ProblemError } from '../../../../typescript/src/client.js';
import type { Draft, Shape } from './shape.js';

/** What the service finds wrong, by where it is. */
export type Faults = readonly { pointer: string; detail: string }[];

export const faultsIn = (problem: unknown): Faults =>
  problem instanceof ProblemError
    ? (problem.problem.errors ?? []).map(({ pointer, detail }) => ({ pointer: pointer ?? '', detail }))
    : [];

const details = (faults: Faults): string[] => [...new Set(faults.map(({ detail }) => detail))];

/** What is wrong exactly there. */
export const faultsAt = (faults: Faults, pointer: string): string[] =>
  details(faults.filter((fault) => fault.pointer === pointer));

/** What is wrong there, or with a part of it, such as the value of a quantity. */
export const faultsWithin = (faults: Faults, pointer: string): string[] =>
  details(faults.filter((fault) => fault.pointer === pointer || fault.pointer.startsWith(`${pointer}/`)));

/** What no field of a form says beside itself. */
export function unsaid(faults: Faults, shape: Shape, draft: Draft, at = ''): Faults {
  return shape.reduce<Faults>(
    (left, part) => {
      const pointer = `${at}/${part.name}`;
      if (part.is === 'list')
        return (draft.lists[part.name] ?? []).reduce<Faults>(
          (rest, entry, index) => unsaid(rest, part.shape, entry, `${pointer}/${index}`),
          left.filter((fault) => fault.pointer !== pointer),
        );
      const group = draft.groups[part.name];
      if (part.is === 'group') return group === undefined ? left : unsaid(left, part.shape, group, pointer);
      return left.filter((fault) => fault.pointer !== pointer && !fault.pointer.startsWith(`${pointer}/`));
    },
    faults.filter((fault) => at === '' || fault.pointer !== at),
  );
}
