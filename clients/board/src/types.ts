import type { components } from '../../typescript/src/client.js';

type Schemas = components['schemas'];
export type DueLine = Schemas['DueLineItem'];
export type DueState = DueLine['state'];
export type DueListSummary = Schemas['DueListSummary'];
export type DeliveryTrouble = Schemas['DeliveryTroubleView'];
export type LossAlert = Schemas['LossAlertView'];
export type Coolant = Schemas['CoolantSpec'];
export type OtherCircuit = Schemas['OtherCircuitSpec'];
export type DueList = Schemas['DueListPage'];
export type LossTrend = Schemas['LossTrendView'];
export type Vehicle = Schemas['VehicleView'];
export type Usage = Schemas['UsageView'];
export type Fleet = Schemas['FleetView'];
export type Reading = Schemas['ReadingView'];
export type JobReport = Schemas['JobReportView'];
export type Fault = Schemas['FaultView'];
/** As the API document has it, where nothing is said to be always there. */
export type Quantity = { value?: number; unit?: string } | null | undefined;
