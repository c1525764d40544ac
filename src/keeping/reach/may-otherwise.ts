import type { Person } from '../../entities/person.entity.js';

type Reach = Pick<Person, 'role' | 'depotIds'>;

/** Whether a person may do or see something else than before. */
export function mayOtherwise(before: Reach, after: Reach): boolean {
  const depotsOf = ({ depotIds }: Reach): string => depotIds?.toSorted().join() ?? 'all';
  return before.role !== after.role || depotsOf(before) !== depotsOf(after);
}
