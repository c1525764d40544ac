import type { LanguageFile } from '../language-file.js';

/**
 * Spanish, as workshops in the United States speak it: to the mechanic as usted
 * (`docs/glossary.md`). Values stand in braces, in ICU MessageFormat.
 */
export const SPANISH: LanguageFile = {
  locale: 'es-US',
  name: 'Español',
  messages: {
    // legacy
    // quantities
    // atmosphere
    // pressure
    'hold-test-held':
      'Aguantó: {outcome, select, lost {perdió {amount}} gained {ganó {amount}} other {no perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}}',
    'hold-test-lost-too-much':
      '{outcome, select, lost {Perdió {amount}} gained {Ganó {amount}} other {No perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}} Encuentre la fuga, repárela y repita la prueba.',
    'hold-test-too-close':
      'No se puede saber por poco: {outcome, select, lost {perdió {amount}} gained {ganó {amount}} other {no perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}}',
    'hold-test-right-at-limit':
      'La pérdida está justo en el límite. Use un manómetro más fino y espere más tiempo.',
    'hold-test-settled-by-longer':
      'Para salir de la duda, espere {minutes, plural, one {# minuto} other {# minutos}}.',
    'hold-test-settled-by-longer-or-finer':
      'Para salir de la duda, espere {minutes, plural, one {# minuto} other {# minutos}} o use un manómetro con divisiones de {division}.',
    'hold-test-no-target':
      'No se conoce la meta de esta prueba, así que no se evaluó {method, select, vacuum {el vacío inicial} other {la presión inicial}}.',
    'hold-test-nothing-tested':
      'Esto no probó nada: empezó en {start}, que no es más de lo que puede perder. Empiece con más {method, select, vacuum {vacío} other {presión}} y repita.',
    'hold-test-too-short':
      'Aguantó {held, number} de {needed, plural, one {# minuto} other {# minutos}}. Espere {needed, plural, one {# minuto} other {# minutos}}.',
    'hold-test-grew':
      '{method, select, vacuum {El vacío} other {La presión}} aumentó {gain}. Eso no pasa a temperatura constante. Deje que se estabilice, lea las dos temperaturas y repita.',
    'hold-test-boiled':
      'El vacío fue tan profundo que hirvió el refrigerante, y eso parece una fuga. Deje que se enfríe o no pase de {deepest}.',
    'hold-test-started-short':
      'Empezó en {start} y se necesitan {target} {method, select, vacuum {a esta altitud} other {aquí}}. {method, select, vacuum {Llegue a} other {Bombee hasta}} {target} y repita.',
    'hold-test-was-it-other-unit': '¿Eran {meant}?',
    'hold-test-too-hot':
      'El refrigerante estaba a {coolant}. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Deje que se enfríe y repita por debajo de {limit}.',
    'hold-test-temperature-changed':
      'La temperatura cambió {change} durante la prueba, y eso puede esconder una fuga. Deje que se enfríe y repita.',
    'hold-test-warm':
      'El motor estaba caliente. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Deje que se enfríe y repita.',
    'hold-test-maybe-warm':
      'El reporte no dice que el motor estaba frío. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Si estaba frío, indíquelo (engineCold). Si no, deje que se enfríe y repita.',
    'hold-test-maybe-warm-or-dry':
      'El reporte no dice que el motor estaba frío. Un motor que se enfría esconde una fuga. Si estaba frío, indíquelo (engineCold). Si el sistema estaba drenado y seco, indique wet: false. Si no es ninguno de los dos, deje que se enfríe y repita.',
    'hold-test-over-pressured':
      'Presión excesiva: {highest} pasa de {limit}, el máximo para probar este sistema. Revise el radiador, el núcleo de calefacción y las mangueras.',
    'hold-test-coarse-gauge':
      'Manómetro poco fino: su incertidumbre de {uncertainty} es tan grande como la pérdida permitida de {allowed}.',
    'basis-hold-test-rate':
      'tasa de pérdida contra la tasa permitida; u = resolución/√12 y lector/√12 por lectura, más el efecto posible de la temperatura (JCGM 100); banda de guarda de 2 u para aprobar, 1.645 u para reprobar (JCGM 106)',
    'basis-hold-test-temperature-correction':
      'corrección por temperatura: gas ideal para el aire, presión de vapor para el refrigerante',
    'basis-hold-test-simple-acceptance':
      'aceptación simple (ILAC-G8): el manómetro es demasiado grueso para una banda de guarda',
    'basis-leak-rate': 'tasa de fuga Q = V·Δp/Δt, solo indicativa: las mangueras ceden',
    // cautions
    'caution-hot-system':
      'Nunca abra un sistema caliente. Motor apagado; espere hasta que la manguera superior se sienta fría en la mano. Cubra el tapón con un trapo y aflójelo despacio hasta su primer tope.',
    'caution-secured':
      'Antes de meter las manos: llave fuera, freno puesto, ruedas calzadas, articulación bloqueada.',
    'caution-cold-into-hot': 'Nunca agregue refrigerante frío a un motor caliente.',
    'caution-poison':
      'El refrigerante es venenoso para personas y animales. Recójalo, no deje que llegue al drenaje y deséchelo según las reglas locales.',
    'caution-protection': 'Use protección para los ojos y las manos.',
    'caution-stands': 'Apoye un vehículo levantado sobre torres de soporte antes de trabajar debajo de él.',
    'caution-moving-parts':
      'Manténgase lejos de bandas y ventiladores. Un ventilador eléctrico puede arrancar con el motor apagado.',
    'caution-exhaust':
      'Nunca haga funcionar un motor bajo techo sin una manguera que saque los gases de escape al exterior. Los gases de escape matan.',
    'caution-timing-belt':
      'Banda de distribución: alinee las marcas de tiempo antes de quitarla. Si la banda mueve la bomba, cambie la bomba junto con ella.',
    'caution-cap-rating': 'Nunca pase de la presión marcada en el tapón al hacer una prueba de presión.',
    'caution-maker':
      'Los pares de apriete, los procedimientos y los tipos de refrigerante vienen de la información de servicio del fabricante del vehículo. Donde las reglas locales lo pidan, el trabajo debe hacerlo personal calificado o con licencia.',
    'caution-intervals':
      'Los intervalos vienen de la información de servicio del fabricante del vehículo. Si hay dos tipos de servicio posibles, planee con el más severo.',
    'caution-estimate':
      'Una fecha proyectada es una estimación. Una fuga, una luz de advertencia o un ruido no esperan a esa fecha.',
    // calendar
    // vehicles
    // checks
    // belt
    // fastening
    // coolant
    'ethylene-glycol': 'etilenglicol',
    'propylene-glycol': 'propilenglicol',
    'mixing-water': 'agua desmineralizada o destilada',
    // coolant-condition
    // strength
    // filling
    // evaluation
    // readings
    // follow-ups
    // conclusions
    // intervals
    'component-coolant': 'anticongelante',
    'component-water-pump': 'bomba de agua',
    'component-drive-belt': 'banda impulsora',
    'component-tensioner': 'tensor',
    'component-idler': 'polea loca',
    'component-thermostat': 'termostato',
    'component-radiator': 'radiador',
    'component-radiator-cap': 'tapón del radiador',
    'component-upper-hose': 'manguera superior',
    'component-lower-hose': 'manguera inferior',
    'component-heater-hose': 'manguera de la calefacción',
    'component-bypass-hose': 'manguera de derivación',
    'component-hose-clamp': 'abrazadera',
    'component-fan-drive': 'mando del ventilador',
    'component-fan-shroud': 'tolva del ventilador',
    'component-reservoir': 'depósito de anticongelante',
    'component-heater-core': 'núcleo del calefactor',
    'component-coolant-filter': 'filtro de anticongelante',
    'component-oil-cooler': 'enfriador de aceite',
    'component-egr-cooler': 'enfriador del EGR',
    'component-head-gasket': 'empaque de la cabeza',
    'component-injector-sleeve': 'copa del inyector',
    'component-timing-belt': 'banda de distribución',
    'component-temperature-sensor': 'sensor de temperatura',
    'component-other': 'otra pieza',
    'action-inspect': 'revisión',
    'action-test': 'prueba',
    'action-adjust': 'ajuste',
    'action-clean': 'limpieza',
    'action-flush': 'lavado',
    'action-replace': 'cambio',
    'action-recheck': 'nueva revisión',
    'part-with-item': '{component} ({item})',
    'work-on-part': '{part}: {action}',
    // usage
    // loss
    // reliability
    // visits
    // job-card
    // statistics
    // job-card-page
    // calendar-feed
    // mail
    // reminders
    // due-list
    // loss-alerts
    // interval-advice
    // visit-plans
    // job-reports
    // imports
    // attachments
    // spec-sheets
    // interval-plans
    // vehicles-register
    // depots
    // fleets
    // tokens
    // audit
    // access
    // problems
    // fields
    // http
    // csv
    // queue
    // commands
    // board
    'board-title': 'Tablero',
    'board-skip': 'Saltar al contenido',
    'board-views': 'Vistas',
    'board-language': 'Idioma',
    'board-due-list': 'Lista de trabajos por hacer',
    'board-loss-alerts': 'Alertas de pérdida',
    'board-needs-javascript': 'El tablero necesita JavaScript.',
    'board-disclaimer':
      'El tablero muestra lo que se registró y se calculó. No sustituye la información de servicio del fabricante del vehículo, ni las reglas locales, ni a las personas calificadas.',
    'board-live': 'En vivo: los cambios aparecen aquí solos.',
    'board-cut-off': 'Sin conexión: lo que ve puede no estar al día. Se intenta de nuevo.',
    'board-sign-in': 'Iniciar sesión',
    'board-sign-out': 'Cerrar sesión',
    'board-token': 'Token',
    'board-about-token':
      'Un token de su flota: de tablero, de mecánico o de encargado. Se guarda hasta que usted cierre esta pestaña o la sesión.',
    'board-token-malformed': 'Un token no lleva espacios ni letras con acento.',
    'board-token-refused': 'Este token ya no se acepta. Inicie sesión de nuevo.',
    'board-no-answer': 'El servicio no responde. Revise la conexión.',
    'board-try-again': 'Intentar de nuevo',
    'board-filter': 'Filtrar la lista de trabajos por hacer',
    'board-depot': 'Patio',
    'board-component': 'Componente',
    'board-unit-number-part': 'Parte del número de unidad',
    'board-state': 'Estado',
    'board-all-depots': 'Todos los patios',
    'board-all-components': 'Todos los componentes',
    'board-state-late': 'atrasado',
    'board-state-due': 'ya toca',
    'board-state-window': 'pronto toca',
    'board-state-not-due': 'aún no toca',
    'board-state-no-baseline': 'último servicio desconocido',
    'board-state-at-once': 'De inmediato, {state}',
    'board-counted-late': '{count, plural, one {# atrasado} other {# atrasados}}',
    'board-counted-due': '{count, plural, one {# ya toca} other {# ya tocan}}',
    'board-counted-window': '{count, plural, one {# pronto toca} other {# pronto tocan}}',
    'board-counted-not-due': '{count, plural, one {# aún no toca} other {# aún no tocan}}',
    'board-counted-no-baseline': '{count, number} con último servicio desconocido',
    'board-nothing-matches': 'Nada coincide. Pruebe con otros estados o componentes.',
    'board-at-once': 'De inmediato',
    'board-at-once-why': 'Una lectura encontró algo peligroso. Haga estos trabajos primero.',
    'board-in-all': 'En total: {counts}',
    'board-at-no-depot': 'En ningún patio',
    'board-unnamed-depot': 'Un patio',
    'board-counts-at': 'Al {on} en {depot}: {counts}.',
    'board-counts': 'Al {on}, todos los patios: {counts}.',
    'board-done':
      'En los últimos 90 días: {onTime, plural, one {# hecho} other {# hechos}} a tiempo, {late, plural, one {# hecho} other {# hechos}} con atraso.',
    'board-first-page': 'Primera página',
    'board-next-page': 'Página siguiente',
    'board-pages-of-due-list': 'Páginas de la lista de trabajos por hacer',
    'board-pages-of-alerts': 'Páginas de las alertas de pérdida',
    'board-lines-shown': '{count, plural, one {Se muestra # trabajo} other {Se muestran # trabajos}}',
    'board-lines-changed': '{count, plural, one {Cambió # trabajo} other {Cambiaron # trabajos}}',
    'board-line-now': '{unit}, {component}, {action}: {state}',
    'board-line-gone': '{unit}, {component}, {action}: ya no aplica',
    'board-troubles': 'Es posible que no lleguen los recordatorios',
    'board-released': 'Liberado con hallazgos de seguridad pendientes',
    'board-released-more': 'Hay más: la lista de vehículos los tiene todos.',
    'board-keep-parked': 'Deje el vehículo estacionado hasta que {until}.',
    'board-legend': 'Cómo leer las franjas',
    'board-legend-late': 'Banderín: atrasado, ya pasó el plazo de gracia',
    'board-legend-due': 'Cuadrado sobre una esquina: ya toca',
    'board-legend-window': 'Corchetes: pronto toca, buen momento para hacer el trabajo',
    'board-legend-not-due': 'Anillo: aún no toca',
    'board-legend-no-baseline': 'Anillo cortado: último servicio desconocido',
    'board-legend-strip':
      'La marca está en el día en que toca el trabajo. Una flecha en la orilla indica que ese día queda fuera de la franja. La zona rayada va del primer día probable al último, según el uso del vehículo (límites del 90 %). La línea alta y delgada marca cuándo se abre la ventana de servicio. La corta de abajo marca desde cuándo está atrasado. La línea cortada es hoy.',
    'board-window-from': 'ventana de servicio desde el {on}',
    'board-late-from': 'atrasado desde el {on}',
    'board-strip-without-date': 'sin fecha',
    'board-due-on': 'Toca el {on}.',
    'board-due-between': 'Toca el {on}, entre el {earliest} y el {latest}.',
    'board-by-distance': 'Por distancia.',
    'board-by-time': 'Por tiempo.',
    'board-by-engine-hours': 'Por horas de motor.',
    'board-postponed': 'Pospuesto hasta el {until}.',
    'board-no-date': 'Sin fecha.',
    'board-needs-reading': 'Necesita una lectura del odómetro o del horómetro.',
    'board-stale': 'La última lectura del odómetro o del horómetro tiene más de 60 días.',
    'board-left': 'Restante: {amount}.',
    'board-over': 'Se pasó por {amount}.',
    'board-because': 'Motivo: {cause}',
    'board-vehicle': 'Vehículo',
    'board-vehicle-changed': 'Este vehículo cambió',
    'board-duty': 'Tipo de uso',
    'board-now-about': 'Hoy, aproximadamente',
    'board-daily-use': 'Uso diario',
    'board-last-read': 'Última lectura',
    'board-none': 'ninguno',
    'board-not-known': 'no se conoce',
    'board-never': 'nunca',
    'board-duty-normal': 'normal',
    'board-duty-severe': 'severo',
    'board-status-in-use': 'en uso',
    'board-status-laid-up': 'parado',
    'board-status-disposed': 'dado de baja',
    'board-rate': '{rate} al día (límites del 90 %: de {low} a {high})',
    'board-read-long-ago': '{at}, hace más de 60 días',
    'board-job-card': 'Hoja de trabajo',
    'board-job-card-to-print': 'Hoja de trabajo para imprimir',
    'board-print': 'Imprimir',
    'board-back': 'Volver al vehículo',
    'board-due-lines': 'Trabajos por hacer',
    'board-no-due-lines': 'No hay trabajos por hacer: quizá el vehículo no tiene plan de mantenimiento.',
    'board-usage': 'Uso',
    'board-loss-and-strength': 'Pérdida y concentración del anticongelante',
    'board-earlier': 'Lo anterior no se muestra aquí.',
    'board-hold-tests': 'Pruebas de hermeticidad',
    'board-no-hold-tests': 'No hay pruebas de hermeticidad registradas.',
    'board-when': 'Cuándo',
    'board-method': 'Método',
    'board-start': 'Inicio',
    'board-end': 'Final',
    'board-minutes': 'Minutos',
    'board-verdict': 'Resultado',
    'board-method-vacuum': 'vacío',
    'board-method-pressure': 'presión',
    'board-verdict-pass': 'pasa',
    'board-verdict-fail': 'no pasa',
    'board-verdict-inconclusive': 'no concluyente',
    'board-not-judged': 'sin límite para evaluar',
    'board-reading-voided': 'anulada',
    'board-loose-readings': 'Lecturas fuera de un trabajo',
    'board-no-loose-readings': 'Ninguna de las últimas lecturas se tomó fuera de un trabajo.',
    'board-reading-with-item': '{reading} ({item})',
    'board-reading-hold-test': 'prueba de hermeticidad',
    'board-reading-vacuum-test': 'prueba de vacío',
    'board-reading-pressure-test': 'prueba de presión',
    'board-reading-freeze-point': 'punto de congelación',
    'board-reading-torque-set': 'registro de torques',
    'board-reading-fill': 'llenado',
    'board-reading-warm-up-check': 'revisión de calentamiento',
    'board-reading-belt-check': 'revisión de la banda',
    'board-reading-level-check': 'revisión del nivel',
    'board-reading-top-up': 'relleno',
    'board-reading-coolant-condition': 'estado del anticongelante',
    'board-reading-cap-test': 'prueba del tapón',
    'board-reading-combustion-gas-test': 'prueba de gases de combustión',
    'board-reading-road-test': 'prueba de carretera',
    'board-usage-held': 'Retenidas para revisión, no cuentan',
    'board-no-usage': 'No hay lecturas del odómetro ni del horómetro registradas.',
    'board-jobs': 'Trabajos hechos',
    'board-no-jobs': 'No hay trabajos registrados.',
    'board-job-voided': 'Anulado.',
    'board-job-baseline': 'Hecho antes de que hubiera registros.',
    'board-job-by': 'Por {name}.',
    'board-job-released-yes': 'Liberado para circular.',
    'board-job-released-with-limits': 'Liberado con límites.',
    'board-job-released-no': 'No liberado.',
    'board-job-at': 'A {count}.',
    'board-odometer-not-counted':
      'Odómetro, {count}: lectura {status, select, held {retenida para revisión} discarded {descartada} voided {anulada} duplicate {duplicada} other {dudosa}}, no cuenta.',
    'board-engine-hours-not-counted':
      'Horómetro, {count}: lectura {status, select, held {retenida para revisión} discarded {descartada} voided {anulada} duplicate {duplicada} other {dudosa}}, no cuenta.',
    'board-set-aside': 'Apartado, no cuenta: {pointer}.',
    'board-work-failed': '{work} (había fallado)',
    'board-no-alerts': 'No hay alertas de pérdida.',
    'board-alert-repeat-top-ups': 'Rellenos repetidos',
    'board-alert-rising-loss': 'Pérdida que aumenta',
    'board-alert-unrecorded-water': 'Agua sin registrar',
    'board-alert-weakening-hold': 'Hermeticidad que disminuye',
    'board-alert-early-return': 'Regreso anticipado de una pieza',
    'board-alert-part-cohort': 'Lote de piezas defectuoso: falla demasiado',
    'board-alert-since': 'Activa desde el {at}',
    'board-alert-acknowledged': 'Reconocida',
    'board-alert-shelved': 'En pausa',
    'board-alert-shelved-until': 'En pausa hasta el {until}',
    'board-alert-cleared': 'Cerrada',
    'board-alert-returned': 'Se había cerrado poco antes',
    'board-alert-withdrawn': 'Su evidencia se anuló',
    'board-alert-vehicles': '{count, plural, one {# vehículo} other {# vehículos}}',
    'board-check-next': 'Revise ahora',
    'board-evidence': 'Evidencia',
    'board-cautions': 'Precauciones',
    'board-cautions-for-all': 'Precauciones, revise lo que revise',
    'board-chart-odometer': 'Odómetro',
    'board-chart-engine-hours': 'Horas de motor',
    'board-as-read': 'según lecturas',
    'board-forecast': 'pronóstico por el uso diario',
    'board-forecast-lowest': 'pronóstico más bajo (límites del 90 %)',
    'board-forecast-highest': 'pronóstico más alto (límites del 90 %)',
    'board-level-due': 'vencimiento, {work}',
    'board-chart-lost': 'Anticongelante perdido, hasta donde se sabe',
    'board-lost-in-all': 'pérdida total',
    'board-chart-loss-by-distance': 'Pérdida por distancia',
    'board-loss': 'pérdida',
    'board-usual-loss': 'normal en vehículos de su tipo',
    'board-chart-leak-indicator': 'Indicador de fuga (alerta arriba de la línea)',
    'board-leak-indicator': 'indicador, en desviaciones estándar',
    'board-alert-line': 'línea de alerta',
    'board-chart-departure': 'Qué tan lejos estuvo cada nivel de su línea normal',
    'board-departure': 'distancia, en desviaciones estándar',
    'board-chart-strength': 'Concentración del anticongelante por volumen',
    'board-measured': 'medida',
    'board-expected-strength': 'esperada según los rellenos registrados',
    'board-target-strength': 'deseada según su hoja de especificaciones',
    'board-strength-max': 'máxima según su hoja de especificaciones',
    'board-chart-vacuum-loss': 'Pérdida por minuto en pruebas de vacío',
    'board-chart-pressure-loss': 'Pérdida por minuto en pruebas de presión',
    'board-allowed': 'permitida',
    'board-nothing-to-draw': 'Aún no hay qué graficar:',
    'board-chart-line':
      '{name}: {count, plural, one {# valor} other {# valores}}; el último, el {at}: {latest}',
    'board-as-table': '{title} en una tabla',
    'board-table': '{title}, tabla',
  },
};
