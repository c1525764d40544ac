import { addLines } from '../build-fleets.js';
import { atMost, type Figure, median, ms } from '../figure.js';
import { inTurn, warmUp } from '../load.js';
import { newGround, type Stage } from '../stage.js';
import { firstReads } from './due-list.js';

/** A fleet with 3,000 due lines. */
const SMALL = 1000;
const ROUNDS = 4;
const SECONDS = 1;

/**
 * How much longer a page takes in the full database than in a small one. There is only one reader,
 * so that nothing but the work counts.
 */
export async function growthFigures(stage: Stage): Promise<Figure[]> {
  const small = await newGround(stage.server, 'small', 1, SMALL);
  try {
    await addLines(small.admin, small.fleets);
    const inLarge = await firstReads(stage);
    const inSmall = await firstReads({ ...stage, main: small });
    const loads = [
      { ...inLarge.service, connections: 1 },
      { ...inSmall.service, connections: 1 },
    ];
    await warmUp(loads, 2000);
    const [large = [], little = []] = await inTurn(loads, ROUNDS, SECONDS);
    const p50 = (rounds: typeof large) => median(rounds.map(({ latencies }) => median(latencies)));
    return [
      atMost(
        'due-list-growth',
        p50(large) / p50(little),
        1.3,
        `${ms(p50(large))} at ${(3 * stage.options.vehicles).toLocaleString('en')} lines, ${ms(p50(little))} at ${(3 * SMALL).toLocaleString('en')}`,
      ),
    ];
  } finally {
    await small.close();
  }
}
