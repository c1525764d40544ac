import Sequencer from '@jest/test-sequencer';

/**
 * The files that take longest, longest first. Jest knows what took long only from an earlier run; in a fresh clone it goes by
 * file size, which starts some of these late, and the last of them then runs alone while the other worker has nothing to do.
 */
const LONGEST = [
  'test/queue/faults.test.ts',
  'test/browser/board.test.ts',
  'test/http/hostile-input.test.ts',
  'test/demo/demo.test.ts',
  'test/domain/loss/performance.test.ts',
  'test/http/csv-files.test.ts',
  'test/visit-plans/scale.test.ts',
  'test/database/isolation.test.ts',
  'test/embedded/crash.test.ts',
  'test/queue/replicas.test.ts',
];

function rank({ path }) {
  const at = LONGEST.findIndex((file) => path.endsWith(`/${file}`));
  return at === -1 ? LONGEST.length : at;
}

export default class LongFirst extends Sequencer {
  sort(tests) {
    return super.sort(tests).toSorted((one, other) => rank(one) - rank(other));
  }
}
