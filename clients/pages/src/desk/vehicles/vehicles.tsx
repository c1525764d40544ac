import { Redirect, Route, Switch } from 'wouter-preact';
import { mayManage } from '../../kit/service/me.js';
import { tell } from '../../kit/texts/tell.js';
import { NotForRole } from '../not-for-role.js';
import { NewVehicle } from './form/new-vehicle.js';
import { VehiclesList } from './list/vehicles-list.js';
import { JobCard } from './vehicle/job-card.js';
import { VehiclePage } from './vehicle/vehicle-page.js';
import { message } from './words/messages.js';
import './style.css';

/** The vehicles: found in a list, each on a page of its own. */
export function Vehicles() {
  return (
    <Switch>
      <Route path="/vehicles" component={VehiclesList} />
      <Route path="/vehicles/new">
        {mayManage() ? <NewVehicle /> : <NotForRole name={tell(message('desk-vehicle-add'))} />}
      </Route>
      <Route path="/vehicles/:id">{({ id }) => <VehiclePage key={id} id={id} />}</Route>
      <Route path="/vehicles/:id/job-card">{({ id }) => <JobCard key={id} id={id} />}</Route>
      <Route>
        <Redirect to="/vehicles" replace />
      </Route>
    </Switch>
  );
}
