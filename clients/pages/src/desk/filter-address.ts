import { useSearchParams } from 'wouter-preact';

/** A filter of a view, kept in its address; empty where it does not matter. */
export function useFilters<Name extends string>(names: readonly Name[]) {
  const [asked, ask] = useSearchParams();
  const values = Object.fromEntries(names.map((name) => [name, asked.get(name) ?? ''])) as Record<
    Name,
    string
  >;
  const choose = (name: Name, value: string): void => {
    const next = new URLSearchParams(asked);
    if (value === '') next.delete(name);
    else next.set(name, value);
    ask(next, { replace: true });
  };
  return { values, choose };
}
