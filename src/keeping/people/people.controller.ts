import { Body, Controller, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  ChangeRoute,
  CreateRoute,
  DeleteRoute,
  IfMatch,
  ListRoute,
  ReadRoute,
} from '../../platform/resources/resource-routes.js';
import { PeopleService } from './people.service.js';
import { PeopleQuery, PersonInput, PersonPage, PersonView } from './person.dto.js';

@ApiTags('people')
@Controller('v1/people')
export class PeopleController {
  constructor(private readonly people: PeopleService) {}

  @ListRoute('List the people, by name', PersonPage)
  @ManagerWork()
  list(@Query() query: PeopleQuery): Promise<Page<PersonView>> {
    return this.people.list(query);
  }

  @CreateRoute('Add a person', PersonView)
  create(@Body() input: PersonInput): Promise<PersonView> {
    return this.people.create(input);
  }

  @ReadRoute('Read a person', PersonView)
  @ManagerWork()
  get(@IdParam('person') id: string): Promise<PersonView> {
    return this.people.get(id);
  }

  @ChangeRoute('Change a person', PersonInput, PersonView)
  patch(
    @IdParam('person') id: string,
    @Body() patch: object,
    @IfMatch() ifMatch: string | undefined,
  ): Promise<PersonView> {
    return this.people.patch(id, patch, ifMatch);
  }

  @DeleteRoute('Delete a person that nothing refers to; set the state of any other to left')
  remove(@IdParam('person') id: string): Promise<void> {
    return this.people.remove(id);
  }
}
