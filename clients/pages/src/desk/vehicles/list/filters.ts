const STATUSES = ['in-use', 'laid-up', 'disposed'] as const;
const LACKING = ['plan', 'sheet'] as const;

/** Which vehicles are shown; empty where it does not matter. */
export interface Filters {
  q: string;
  depot: string;
  status: '' | (typeof STATUSES)[number];
  without: '' | (typeof LACKING)[number];
  /** Only those released with open safety findings. */
  released: boolean;
}

/** The filters that an address asks for; none where it asks for nothing that there is. */
export function filtersOf(asked: URLSearchParams): Filters {
  const value = (name: string): string => asked.get(name) ?? '';
  return {
    q: value('q'),
    depot: value('depot'),
    status: STATUSES.find((status) => status === value('status')) ?? '',
    without: LACKING.find((what) => what === value('without')) ?? '',
    released: value('released') === 'with-findings',
  };
}

export function addressOf({ q, depot, status, without, released }: Filters): URLSearchParams {
  const given = { q, depot, status, without, released: released ? 'with-findings' : '' };
  return new URLSearchParams(Object.entries(given).filter(([, value]) => value !== ''));
}

/** The same as the service is asked. */
export function queryOf({ q, depot, status, without, released }: Filters) {
  return {
    ...(q !== '' && { q }),
    ...(depot !== '' && { depotId: depot }),
    ...(status !== '' && { status }),
    ...(without !== '' && { without }),
    ...(released && { released: 'with-findings' as const }),
  };
}
