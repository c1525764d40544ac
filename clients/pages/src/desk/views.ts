import type { FunctionComponent } from 'preact';
import type { Message } from '../../../../src/domain/message.js';
import { later } from '../kit/parts/later.js';
import type { Role } from '../kit/service/me.js';
import { message as adviceMessage } from './advice/messages.js';
import { message as alertsMessage } from './alerts/messages.js';
import { message as readingsMessage } from './readings/messages.js';
import { message as reportsMessage } from './reports/messages.js';
import { message as dueMessage } from './due/messages.js';
import { message as filesMessage } from './files/messages.js';
import { message as stepsMessage } from './first-steps/messages.js';
import { message as monthMessage } from './month/messages.js';
import { message as peopleMessage } from './people/messages.js';
import { message as settingsMessage } from './settings/messages.js';
import { message as todayMessage } from './today/messages.js';
import { message as visitsMessage } from './visits/messages.js';
import { message as vehiclesMessage } from './vehicles/words/messages.js';

export interface DeskView {
  path: string;
  /** Its name in the navigation. */
  name: Message;
  /** Also shows what is below the path, and tells what is there by routes of its own. */
  component: FunctionComponent;
  /** Who may open it; all who read the fleet's lists unless given. */
  roles?: readonly Role[];
  /** In the navigation only while a new fleet lacks something. */
  isForNewFleets?: true;
}

const READERS: readonly Role[] = ['manager', 'mechanic', 'dashboard'];
const MANAGERS: readonly Role[] = ['manager'];

export const rolesOf = ({ roles }: DeskView): readonly Role[] => roles ?? READERS;

/** The views of the desk, in the order of the navigation. The first is where the desk opens. */
export const VIEWS: readonly [DeskView, ...DeskView[]] = [
  {
    path: '/today',
    name: todayMessage('desk-today'),
    component: later(async () => (await import('./today/today.js')).Today),
  },
  {
    path: '/due',
    name: dueMessage('desk-due'),
    component: later(async () => (await import('./due/due.js')).Due),
  },
  {
    path: '/vehicles',
    name: vehiclesMessage('desk-vehicles'),
    component: later(async () => (await import('./vehicles/vehicles.js')).Vehicles),
  },
  {
    path: '/visits',
    name: visitsMessage('desk-visits'),
    component: later(async () => (await import('./visits/visits.js')).Visits),
  },
  {
    path: '/alerts',
    name: alertsMessage('desk-alerts'),
    component: later(async () => (await import('./alerts/alerts.js')).Alerts),
  },
  {
    path: '/reports',
    name: reportsMessage('desk-reports'),
    component: later(async () => (await import('./reports/reports.js')).Reports),
  },
  {
    path: '/readings',
    name: readingsMessage('desk-readings'),
    component: later(async () => (await import('./readings/readings.js')).Readings),
  },
  {
    path: '/month',
    name: monthMessage('desk-month'),
    component: later(async () => (await import('./month/month.js')).Month),
  },
  {
    path: '/advice',
    name: adviceMessage('desk-advice'),
    component: later(async () => (await import('./advice/advice.js')).AdviceView),
  },
  {
    path: '/files',
    roles: MANAGERS,
    name: filesMessage('desk-files'),
    component: later(async () => (await import('./files/files.js')).Files),
  },
  {
    path: '/people',
    roles: MANAGERS,
    name: peopleMessage('desk-people'),
    component: later(async () => (await import('./people/people.js')).People),
  },
  {
    path: '/settings',
    roles: MANAGERS,
    name: settingsMessage('desk-settings'),
    component: later(async () => (await import('./settings/settings.js')).Settings),
  },
  {
    path: '/first-steps',
    roles: MANAGERS,
    name: stepsMessage('desk-steps'),
    component: later(async () => (await import('./first-steps/first-steps.js')).FirstSteps),
    isForNewFleets: true,
  },
];
