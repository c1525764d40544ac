import type { Draft, ListPart, Shape } from './shape.js';

type Entries = readonly Draft[];
type Three = [Entries, Entries, Entries];

/** What was typed, whatever the service had. */
const content = ({ typed, groups, lists }: Draft): unknown => [
  typed,
  Object.values(groups).map(content),
  Object.values(lists).map((entries) => entries.map(content)),
];
const isSame = (left: unknown, right: unknown): boolean => JSON.stringify(left) === JSON.stringify(right);
const contents = (entries: readonly Draft[]): unknown => entries.map(content);

/**
 * What somebody typed, on top of what somebody else has changed meanwhile. Nothing that was typed is
 * lost: where both changed the same, this keeps what was typed.
 */
export function onTopOf(shape: Shape, now: Draft, before: Draft, mine: Draft): Draft {
  const typed: Record<string, string> = {};
  for (const name of Object.keys(mine.typed))
    typed[name] = (mine.typed[name] === before.typed[name] ? now : mine).typed[name] ?? '';
  const groups: Record<string, Draft> = {};
  const lists: Record<string, readonly Draft[]> = {};
  for (const part of shape) {
    const { name } = part;
    const [group, then, typing] = [now.groups[name], before.groups[name], mine.groups[name]];
    if (part.is === 'group' && group && then && typing)
      groups[name] = onTopOf(part.shape, group, then, typing);
    if (part.is === 'list') {
      const [theirs, base, own] = [now, before, mine].map((draft) => draft.lists[name] ?? []) as Three;
      lists[name] = mergedList(part, theirs, base, own);
    }
  }
  return { ...now, key: mine.key, typed, groups, lists };
}

function mergedList(
  part: ListPart,
  now: readonly Draft[],
  before: readonly Draft[],
  mine: readonly Draft[],
): readonly Draft[] {
  const keys = (entries: readonly Draft[]): number[] => entries.map(({ key }) => key);
  // Nobody added or removed any, so that each is still at its place.
  if (isSame(now.map(part.titleOf), before.map(part.titleOf)) && isSame(keys(before), keys(mine)))
    return now.map((entry, index) =>
      onTopOf(part.shape, entry, before[index] as Draft, mine[index] as Draft),
    );
  return isSame(contents(before), contents(mine)) ? now : mine;
}
