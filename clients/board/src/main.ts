import { ProblemError } from '../../typescript/src/client.js';
import { alertsView } from './alerts.js';
import { byId } from './dom.js';
import { hatching } from './due-lines/strip.js';
import { dueListView } from './due-list/due-list.js';
import { jobCardView } from './job-card.js';
import { currentLanguage, tell } from './language.js';
import { follow } from './live.js';
import { listenToSwitches, turnTo, wantedLanguage } from './page-language.js';
import { readRoute, type Route } from './route.js';
import { forgetToken, keptToken, type SignedIn, signInForm, signInWith } from './sign-in.js';
import { vehicleView } from './vehicle/vehicle.js';
import { faultInWords, faultNote, type Surroundings, type View } from './view.js';

const main = byId('main');
const views = byId('views');

/** What stands while somebody is signed in. */
interface Session extends SignedIn {
  ends: AbortController;
}
let session: Session | null = null;
let current: { view: View; left: AbortController } | null = null;

function say(text: string): void {
  byId('news').textContent = text;
}

function leave(): void {
  session?.ends.abort();
  current?.left.abort();
  session = null;
  current = null;
}

function signedOut(complaint = ''): void {
  forgetToken();
  leave();
  views.hidden = true;
  byId('fleet').textContent = '';
  byId('connection').textContent = '';
  document.title = `${tell('board-sign-in')} · Weephole`;
  main.replaceChildren(signInForm(complaint, signedIn));
  main.querySelector('input')?.focus();
}

function signedIn(by: SignedIn): void {
  leave();
  const ends = new AbortController();
  session = { ...by, ends };
  views.hidden = false;
  byId('fleet').textContent = by.fleet.name;
  void follow(
    { token: by.token, language: currentLanguage() },
    {
      hear: (news) => current?.view.hear(news),
      connected(isConnected) {
        byId('connection').textContent = tell(isConnected ? 'board-live' : 'board-cut-off');
      },
      refused: () => signedOut(tell('board-token-refused')),
    },
    ends.signal,
  );
  show();
}

function viewOf(route: Route, surroundings: Surroundings): View {
  if (route.view === 'alerts') return alertsView(route.cursor, surroundings);
  if (route.view === 'vehicle') return vehicleView(route.vehicleId, surroundings);
  if (route.view === 'job-card') return jobCardView(route.vehicleId, surroundings);
  return dueListView(route.filters, surroundings);
}

/** Shows what the address asks for. */
function show(): void {
  if (session === null) return;
  const route = readRoute(location.hash);
  for (const link of views.querySelectorAll<HTMLElement>('a[data-view]')) {
    if (link.dataset.view === route.view) link.setAttribute('aria-current', 'page');
    else link.removeAttribute('aria-current');
  }
  if (current?.view.turnTo(route)) return;
  current?.left.abort();
  const left = new AbortController();
  const { client, fleet, ends } = session;
  const view = viewOf(route, {
    ...{ client, fleet, say },
    signal: AbortSignal.any([left.signal, ends.signal]),
    endedBy(fault) {
      if (!(fault instanceof ProblemError) || fault.status !== 401) return false;
      signedOut(tell('board-token-refused'));
      return true;
    },
  });
  current = { view, left };
  document.title = `${view.title} · Weephole`;
  main.replaceChildren(view.element);
  view.element.querySelector<HTMLElement>('h1')?.focus();
  scrollTo(0, 0);
}

async function begin(): Promise<void> {
  document.body.append(hatching());
  byId('sign-out').addEventListener('click', () => signedOut());
  byId('skip').addEventListener('click', (event) => {
    // The address says what is seen, not where on the page.
    event.preventDefault();
    main.focus();
  });
  addEventListener('hashchange', show);
  listenToSwitches(() => void startOver());
  await turnTo(wantedLanguage());
  await startOver();
}

/** Shows the board to whoever is signed in still, in the language that the page has now. */
async function startOver(): Promise<void> {
  const kept = keptToken();
  if (kept === null) return signedOut();
  await comeBack(kept);
}

/**
 * Signs in again with what the tab still has; where no answer comes, that says nothing against the
 * token.
 */
async function comeBack(token: string): Promise<void> {
  try {
    signedIn(await signInWith(token));
  } catch (fault) {
    if (fault instanceof ProblemError) return signedOut(faultInWords(fault));
    main.replaceChildren(faultNote(fault, () => void comeBack(token)));
  }
}

void begin();
