import { Body, Controller } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ChangeRoute, IfMatch, ReadRoute } from '../../platform/resources/resource-routes.js';
import { FleetInput, FleetView } from './fleet.dto.js';
import { FleetsService } from './fleets.service.js';

@ApiTags('fleet')
@Controller('v1/fleet')
export class FleetsController {
  constructor(private readonly fleets: FleetsService) {}

  @ReadRoute('Read the fleet that the token belongs to', FleetView, '')
  get(): Promise<FleetView> {
    return this.fleets.get();
  }

  @ChangeRoute('Change the fleet', FleetInput, FleetView, '')
  patch(@Body() patch: object, @IfMatch() ifMatch: string | undefined): Promise<FleetView> {
    return this.fleets.patch(patch, ifMatch);
  }
}
