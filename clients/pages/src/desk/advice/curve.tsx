import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { type Advice, costInWords, type Curve, type Present, useInWords } from './words.js';

const [WIDTH, HEIGHT] = [600, 200];
/** The start of the curve climbs without end; it is cut at this multiple of what failures alone cost. */
const TOP_SHARE = 1.5;
const MOST_ROWS = 25;

/** The cost at an interval, between two points of the curve; null beyond them. */
function costAt({ points }: Curve, at: number): number | null {
  const after = points.findIndex((point) => point.at >= at);
  const [left, right] = [points[after - 1], points[after]];
  if (left === undefined || right === undefined) return null;
  return left.cost + ((right.cost - left.cost) * (at - left.at)) / (right.at - left.at);
}

/** What the drawing shows, in sentences. */
function sentences({ optimum, currentIntervals }: Advice, curve: Curve): string[] {
  const { unit, per, atFailureOnly } = curve;
  const now = (plan: Present): string[] => {
    if (plan.every == null) return [];
    const at = plan.every.value ?? 0;
    const cost = costAt(curve, at);
    const told = { plan: plan.name, at: useInWords(at, unit) };
    return [
      cost === null
        ? tell(message('desk-advice-curve-beyond', told))
        : tell(message('desk-advice-curve-now', { ...told, cost: costInWords(cost), per })),
    ];
  };
  return [
    ...(optimum === null
      ? [tell(message('desk-advice-curve-no-advice'))]
      : [
          tell(
            message('desk-advice-curve-least', {
              ...{ at: useInWords(optimum.interval.value, unit), cost: costInWords(optimum.cost), per },
            }),
          ),
          tell(
            message('desk-advice-curve-band', {
              low: useInWords(optimum.interval.low, unit),
              high: useInWords(optimum.interval.high, unit),
            }),
          ),
        ]),
    ...currentIntervals.flatMap(now),
    tell(message('desk-advice-curve-failure', { cost: costInWords(atFailureOnly), per })),
  ];
}

/** A line across the drawing, top to bottom. */
const Upright = ({ name, at }: { name: string; at: number }) => (
  <line class={name} x1={at} x2={at} y1="0" y2={HEIGHT} />
);

function Drawing({ advice: { optimum, currentIntervals }, curve }: { advice: Advice; curve: Curve }) {
  const { points, atFailureOnly } = curve;
  const present = currentIntervals.flatMap(({ every }) => (every?.value === undefined ? [] : [every.value]));
  const right = Math.max(points.at(-1)?.at ?? 1, ...present);
  const x = (at: number): number => (at / right) * WIDTH;
  const y = (cost: number): number => HEIGHT - (cost / (TOP_SHARE * atFailureOnly)) * HEIGHT;
  const line = points.map(({ at, cost }) => `${x(at).toFixed(1)},${Math.max(-HEIGHT, y(cost)).toFixed(1)}`);
  const { low, value, high } = optimum?.interval ?? { low: 0, value: 0, high: 0 };
  return (
    <div class="drawing" aria-hidden="true">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none">
        {optimum !== null && (
          <>
            <rect class="agrees" x={x(low)} y="0" width={x(high) - x(low)} height={HEIGHT} />
            <Upright name="advised" at={x(value)} />
          </>
        )}
        {[...new Set(present)].map((at) => (
          <Upright key={at} name="present" at={x(at)} />
        ))}
        <line class="at-failure" x1="0" x2={WIDTH} y1={y(atFailureOnly)} y2={y(atFailureOnly)} />
        <polyline class="cost" points={line.join(' ')} />
      </svg>
      <p class="axis">
        <span>0</span>
        <span>{useInWords(right, curve.unit)}</span>
      </p>
    </div>
  );
}

const KEY = [
  ['cost', 'desk-advice-curve-cost'],
  ['advised', 'desk-advice-advised'],
  ['present', 'desk-advice-plans'],
] as const;

function Key({ hasOptimum }: { hasOptimum: boolean }) {
  return (
    <ul class="key" aria-hidden="true">
      {KEY.filter(([name]) => name !== 'advised' || hasOptimum).map(([name, code]) => (
        <li key={name}>
          <svg viewBox="0 0 32 12">
            <line class={name} x1="0" x2="32" y1="6" y2="6" />
          </svg>
          {tell(message(code))}
        </li>
      ))}
    </ul>
  );
}

/** The cost of a distance against the interval, drawn, in sentences and in a table. */
export function CostCurve({ advice, curve }: { advice: Advice; curve: Curve }) {
  const { points, unit, per } = curve;
  const stride = Math.ceil(points.length / MOST_ROWS);
  const title = tell(message('desk-advice-curve', { per }));
  return (
    <figure class="curve">
      <figcaption>{title}</figcaption>
      <Drawing {...{ advice, curve }} />
      <Key hasOptimum={advice.optimum !== null} />
      <ul class="dots said">
        {sentences(advice, curve).map((said) => (
          <li key={said}>{said}</li>
        ))}
      </ul>
      <details>
        <summary>{tell(message('desk-advice-curve-table'))}</summary>
        <table>
          <thead>
            <tr>
              <th scope="col" class="number">
                {tell(message('desk-advice-curve-interval', { unit }))}
              </th>
              <th scope="col" class="number">
                {title}
              </th>
            </tr>
          </thead>
          <tbody>
            {points
              .filter((_, index) => index % stride === 0)
              .map(({ at, cost }) => (
                <tr key={at}>
                  <td class="number">{useInWords(at, '').trim()}</td>
                  <td class="number">{costInWords(cost)}</td>
                </tr>
              ))}
          </tbody>
        </table>
      </details>
    </figure>
  );
}
