import type { components } from '../../../../typescript/src/client.js';

type Schemas = components['schemas'];

export type Vehicle = Schemas['VehicleView'];
export type Depot = Schemas['DepotView'];
export type Usage = Schemas['UsageView'];
export type LossAlert = Schemas['LossAlertView'];
export type Fault = Schemas['FaultView'];
export type Reading = Schemas['ReadingView'];
export type LossTrend = Schemas['LossTrendView'];
export type TemperatureTrend = Schemas['TemperatureTrendView'];
export type Defect = Schemas['DefectView'];
export type Attachment = Schemas['AttachmentView'];
export type Label = Schemas['LabelView'];
export type HistoryEntry = Schemas['HistoryPage']['items'][number];
export type SpecSheet = Schemas['SpecSheetView'];
/** As the service shows one; null or without a value where it is not known. */
export type Quantity = { value?: number; unit?: string } | null | undefined;
