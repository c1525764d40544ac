import type { UnitSystem } from '../../../../../src/domain/quantities/measures.js';
import { listInWords } from '../../kit/texts/lists.js';
import { tell } from '../../kit/texts/tell.js';
import { unitName } from './draft.js';
import { labelOf, nameOf } from './labels.js';
import { message } from './messages.js';
import type { Draft, LeafPart, Part, Shape } from './shape.js';

/** What a field says, as a person reads it. */
function shownValue(part: LeafPart, draft: Draft): string {
  const typed = draft.typed[part.name] ?? '';
  if (part.is === 'flag') return tell(message(typed === 'true' ? 'desk-record-yes' : 'desk-record-no'));
  if (typed === '') return tell(message('desk-record-nothing'));
  if (part.is === 'yes-no') return tell(message(typed === 'true' ? 'desk-record-yes' : 'desk-record-no'));
  if (part.is === 'choice') return nameOf(part.choices, typed);
  if (part.is === 'choices') return listInWords(typed.split(',').map((one) => nameOf(part.choices, one)));
  if (part.is === 'lines') return listInWords(typed.split('\n').filter(Boolean));
  return part.is === 'amount' ? `${typed} ${draft.typed[unitName(part.name)] ?? ''}` : typed;
}

const within = (path: string, label: string): string =>
  path === '' ? label : tell(message('desk-record-path', { whole: path, part: label }));

function ofList(
  part: Part & { is: 'list' },
  [before, after]: [readonly Draft[], readonly Draft[]],
  units: UnitSystem,
  path: string,
): string[] {
  const titled = (entry: Draft): string => within(path, part.titleOf(entry));
  const rest = [...after];
  const found = before.flatMap((entry) => {
    const same = rest.findIndex((other) => part.titleOf(other) === part.titleOf(entry));
    const [other] = same === -1 ? [] : rest.splice(same, 1);
    return other === undefined
      ? [tell(message('desk-record-removed', { what: titled(entry) }))]
      : differences(part.shape, entry, other, units, titled(entry));
  });
  return [...found, ...rest.map((entry) => tell(message('desk-record-added', { what: titled(entry) })))];
}

/** How two drafts of a record differ, each difference as a person reads it. */
export function differences(
  shape: Shape,
  before: Draft,
  after: Draft,
  units: UnitSystem,
  path = '',
): string[] {
  return shape.flatMap((part) => {
    const { name } = part;
    const here = within(path, tell(part.label));
    if (part.is === 'list')
      return ofList(part, [before.lists[name] ?? [], after.lists[name] ?? []], units, path);
    const [then, now] = [before.groups[name], after.groups[name]];
    if (part.is === 'group') return then && now ? differences(part.shape, then, now, units, here) : [];
    const [was, is] = [shownValue(part, before), shownValue(part, after)];
    if (was === is) return [];
    const field = within(path, labelOf(part, after, units));
    return [tell(message('desk-record-change', { field, before: was, now: is }))];
  });
}
