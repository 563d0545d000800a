"""What the words around a printed torque do: the acts, the joints between them, limits, warnings.

English, German, French, Spanish, Italian, Dutch, Portuguese, Swedish. Common trade usage, from knowledge of
the languages; a word that stands nowhere here or in `torque_names` is unknown, and an unknown word is never
passed over in silence. A blank within a phrase is written `_`; a hyphen or a line end in print counts as one.
"""

import re

from app.core.torque.names import NAMES
from app.core.torque.small_words import SMALL

_SIGNS = re.compile(r"['./]")

ACTS: dict[str, str] = {
    "tighten": """
        tighten tightened tightening tightens torque torqued torqueing torquing tq run_up draw_down pull_down
        pretighten pre_tighten pretightened nip_up advance torque_to draw_up pull_up screw_in
        anziehen anzieh angezogen festziehen festgezogen anschrauben beiziehen eindrehen andrehen vorziehen
        voranziehen vorspannen festschrauben einschrauben verschrauben
        préserrage pré_serrage serrer serrez serrage serré serrés bloquer bloquez visser vissez approcher
        presserrer pré_serrer
        apretar apriete apriételo apriételos apretado apretarlos apretarlo ajustar ajuste torquear roscar
        atornillar
        serrare serrate serrato serrati stringere stringete stringi avvitare avvitate bloccare
        aandraaien aangedraaid aanhalen aangehaald vastdraaien vastzetten aantrekken draai_aan draai_vast
        apertar aperte aperto apertado enroscar enrosque fixar torqueado
        dra_åt drag_åt dra_fast åtdra åtdras åtdragning skruva_i skruva_fast spänna spänn dras_åt dra drag
        dras åt
        """,
    "turn": """
        turn rotate turning rotating angle_tighten angle_tightening angle_tightened torque_turn turned rotated
        drehen gedreht winkelanzug drehwinkel mutterndrehwinkel winkel
        tourner tournez serrage_angulaire angle angulaire angle_de_serrage
        girar gire apriete_angular ángulo angulo angular
        ruotare ruotate ruota girare serraggio_angolare angolo angolare ruotarla ruotarlo
        draaien draai verdraaien hoekverdraaiing hoek verdraai
        rodar rode aperto_angular
        vrid vrida vinkeldra vinkelåtdragning vinkel vrids vinkeldras vinkeldrag
        """,
    "further": """
        further additional additionally more another extra beyond past tighter clockwise cw to_the_right
        rechtsherum
        weiter weiterdrehen weitere weiteren nachdrehen weiter_drehen zusätzlich im_uhrzeigersinn
        supplémentaire supplémentaires encore de_plus vers_la_droite sens_horaire
        más adicional adicionales sentido_horario avanzar
        ulteriore ulteriori ulteriormente oltre ancora in_più di_più avanzare in_senso_orario senso_orario
        verder verdere rechtsom doordraaien extra_draaien door verderdraaien
        adicionais a_mais no_sentido_horário
        ytterligare medurs vidare
        """,
    "loosen": """
        loosen loosened loosening slacken slackened slackening back_off backed_off back_out undo undone
        unscrew
        unscrewed unscrewing ease eased ease_off release released relieve relieved run_off turn_out
        counter_rotate unwind
        unwound
        slack_off slack relax relaxed untighten detorque de_torque let_off let_back take_off crack
        unfasten wind_back wind_off ease_back reverse
        lösen gelöst löse lockern gelockert losdrehen losschrauben zurückdrehen zurückgedreht abdrehen
        aufdrehen
        herausdrehen entspannen nachlassen lockerdrehen zurücknehmen lösung
        desserrer desserrez dévisser dévissez débloquer débloquez relâcher relâchez libérer desserrage
        revenir_en_arrière revenir revenez
        aflojar afloje aflójelo aflojarlos soltar suelte desapretar desenroscar desenrosque retroceder
        retroceda
        destornillar afloja aflojando
        allentare allentate allenta allentarla svitare svitate sbloccare mollare rilasciare ruotare_indietro
        losdraaien losser_draaien lossen terugdraaien los_draaien losgedraaid teruggedraaid losmaken
        desapertar desaperte soltar solte afrouxar afrouxe folgar folgue desenroscar desenrosque recuar recue
        desatarraxar alivie aliviar
        lossa lossas släppa släpp skruva_ur skruva_ut skruva_tillbaka backa vrid_tillbaka lossats lätta
        """,
    "back": """
        counter out opposite_direction other_direction other_way opposite_way reverse_direction
        back counterclockwise counter_clockwise anticlockwise anti_clockwise ccw backwards backward
        to_the_left off
        zurück linksherum gegen_den_uhrzeigersinn rückwärts retour
        en_arrière arrière_de sens_antihoraire sens_inverse vers_la_gauche
        atrás hacia_atrás sentido_antihorario antihorario
        indietro in_senso_antiorario antiorario
        terug linksom achteruit
        para_trás no_sentido_anti_horário anti_horário antihorário
        tillbaka moturs bakåt
        """,
    "again": """
        again repeat repeated retorque re_torque retighten re_tighten retightened retorqued recheck_torque
        nachziehen erneut wiederholen nochmals endanzug wieder nochmal
        resserrer resserrez reprendre à_nouveau de_nouveau
        reapretar reapriete volver_a_apretar de_nuevo nuevamente
        riserrare ripassare di_nuovo nuovamente
        natrekken opnieuw nogmaals weer
        reapertar reaperte reaperto voltar_a_apertar de_novo novamente
        efterdra igen dra_åt_igen efterdrag
        """,
    "snug": """
        snug snug_tight hand_tight hand_tighten hand_tightened finger_tight finger_tighten finger_tightened
        hand_tightening finger_tightening handtight fingertight
        handfest fingerfest von_hand
        à_la_main
        a_mano
        handvast
        à_mão
        handfast för_hand
        """,
    "seating": """
        seating seated contact contacts seats bottoms bottomed touches touch contacting bottoming
        anlage zur_anlage bis_zur_anlage bis_anschlag bis_zum_anschlag aufsitzt anliegt auflage
        au_contact en_contact accostage
        asiento contacto hacer_contacto asentar
        battuta a_battuta contatto
        aanligging contact_maakt aanligt
        encosto encostar contato contacto
        anliggning tar_i
        """,
}
JOINTS: dict[str, str] = {
    "then": """
        then followed_by finally next afterwards after_that thereafter subsequently before
        dann danach anschließend anschliessend nachher zuletzt abschließend zum_schluss schließlich darauf
        puis ensuite enfin
        luego después a_continuación por_último finalmente posteriormente seguidamente
        poi quindi infine successivamente
        dan daarna vervolgens tenslotte ten_slotte
        depois em_seguida seguidamente por_fim e_depois
        sedan därefter slutligen till_sist
        """,
    "plus": "plus zuzüglich mais plús più",
    "minus": "minus less moins menos weniger meno abzüglich mindre",
    "and": "and und et y e och as_well_as sowie ed en",
    "or": """
        or either alternatively instead optional optionally
        oder entweder wahlweise alternativ bzw beziehungsweise
        ou soit ou_bien à_défaut
        o u o_bien según
        oppure ovvero in_alternativa
        ofwel dan_wel resp respectievelijk respectively
        ou_então
        eller antingen alternativt
        """,
    "between": "between zwischen entre tra fra tussen mellan",
    "range": "to thru through bis tot à até hasta till a fino_a t/m ad al",
    "while": """
        while whilst during wobei während pendant tout_en mientras mentre terwijl enquanto medan when_turning
        """,
}
LIMITS: dict[str, str] = {
    "least": """
        min minimum at_least not_less_than no_less_than over above or_more or_above or_greater more_than
        greater_than mind mindestens mini au_moins minimo mínimo mín al_menos como_mínimo almeno minimaal
        ten_minste
        no_mínimo pelo_menos minst lägst mininum minimal plus_de más_de più_di mais_de mehr_als meer_dan
        """,
    "most": """
        do_not_exceed not_to_exceed not_exceeding nicht_überschreiten ne_pas_dépasser no_sobrepasar no_exceder
        no_superar non_superare niet_overschrijden não_exceder não_ultrapassar överskrid_inte
        nicht_über får_ej_överskrida får_ej_överskridas ej_överskrida överskrid_ej får_inte_överskrida
        max maximum at_most or_less or_below up_to not_more_than no_more_than under less_than maxi
        maximal höchstens nicht_mehr_als bis_zu weniger_als au_plus maximum_de jusqu'à moins_de
        máximo máx como_máximo no_más_de menos_de massimo al_massimo fino_ad maximaal hoogstens niet_meer_dan
        no_máximo não_mais_de högst ej_över below never_more_than mindre_än minder_dan meno_di
        """,
    "exceed": """
        exceed exceeds exceeded exceeding should_not_exceed must_not_exceed
        """,
    "approx": """
        approx approximately about nominal ca circa etwa ungefähr richtwert nennwert env environ aprox
        aproximadamente ongeveer cirka ungefär cerca_de nominell
        """,
}
WARNINGS: dict[str, str] = {
    "not": """
        not never no don't doesn't must_not cannot can't avoid stop
        nicht kein keine keinen niemals nie
        ne pas jamais n
        nunca jamás
        non mai
        niet geen nooit
        não jamais
        ej inte aldrig inget ingen
        """,
    "if": """
        every_second every_other each_second second_every jede_zweite une_sur_deux
        if when unless provided whenever in_case otherwise only_if
        wenn falls sofern sonst
        si lorsque sinon quand
        cuando en_caso
        se quando qualora
        indien als wanneer
        caso
        om när ifall
        """,
    "example": """
        example e.g eg for_example z.b beispiel zum_beispiel par_exemple exemple ejemplo por_ejemplo esempio
        per_esempio bijvoorbeeld bijv exemplo por_exemplo exempel till_exempel previous previously formerly
        total combined shared lower_the_torque lower_torque lower_to superseded obsolete old_value
        instead_of wrong incorrect earlier former short_of equals conversion
        converted multiply multiplied divide divided times_the percent percentage increase decrease increased
        decreased reduce reduced subtract subtracted deduct minus_the
        reduzieren verringern réduire reducir ridurre reduceren reduzir minska
        """,
    "measured": """
        measure measured measuring verify verified verifying observed removal_torque loosening_torque check
        checked checking
        break_loose found at_removal inspection audit when_removing
        messung gemessen prüfen geprüft kontrollieren
        mesurer mesuré vérifier contrôler vérifiez contrôlez
        medir medido comprobar compruebe verificar verifique
        misurare misurato controllare verificare
        gemeten meten controleren
        mäta mätt kontrollera
        """,
    "felt": """
        driving_torque turning_torque rolling_torque running_torque rotating_torque rotational_torque
        breakaway_torque break_away_torque prevailing_torque starting_torque drag_torque driven_torque
        torque_required_to_turn torque_required_to_rotate torque_required_to_drive torque_to_turn
        torque_to_rotate
        torque_to_drive capacity stall_torque peak_torque slip_torque bearing_preload bearing_pre_load
        running_torque friction_torque run_on_torque run_down_torque resistance_to_rotation rotating_drag
        turning_drag
        rotational_drag locking_torque self_locking_torque tare_torque drag prevailing breakaway
        turning_resistance torque_resistance rotating_resistance preload_torque rotating_effort
        klemmmoment klemmoment losdrehmoment losbrechmoment eigenhemmung sicherungsmoment reibmoment
        drehwiderstand
        anlaufmoment lagervorspannung lösemoment reibdrehmoment lagerreibmoment laufmoment rollmoment
        couple_de_freinage couple_résiduel couple_d'auto_freinage couple_résistant couple_de_rotation
        couple_de_démarrage précharge couple_de_frottement
        par_de_frenado par_de_autobloqueo par_resistente par_de_giro par_de_arranque precarga par_de_rodadura
        coppia_di_autofrenatura coppia_di_frenatura coppia_di_rotolamento coppia_di_rotazione coppia_di_spunto
        precarico coppia_di_trascinamento
        klemkoppel meeloopmoment borgmoment draaiweerstand loopkoppel wrijvingskoppel
        binário_de_travagem torque_de_frenagem torque_de_giro binário_de_rotação pré_carga torque_de_arraste
        torque_de_rotação
        låsmoment gängmotstånd vridmotstånd rullmotstånd friktionsmoment
        """,
    "noted": """
        do_not_reuse do_not_re_use not_reusable single_use one_time_use use_once nicht_wiederverwenden
        ne_pas_réutiliser no_reutilizar non_riutilizzare não_reutilizar
        preload pre_load preloaded adapter extension crowfoot crow_foot universal_joint
        steps_of stages_of schritten_zu étapes_de pasos_de passi_da
        cotter_pin_hole split_pin_hole to_next next_hole align aligned line_up castle_slot
        split_pin split_pins
        """,
    "run_on": """
        add added adding run_on run_down on_top_of addieren hinzurechnen addiert ajouter ajoutez sumar sume
        añadir
        aggiungere sommare optellen somar adicionar lägg_till addera
        """,
    "after": "after nach après después tras dopo na após depois_de efter every",
    "los": "los",
    "range_of_tool": "range scale measuring_range clicks setting_range",
    "later": """
        recheck rechecked re_check check_again check_after after_running after_driving kilometres kilometers
        warm_up after_warm_up
        service_interval periodically nach_einfahren contrôler_après
        """,
}


_AGAIN_WORDS = """
    again igen wieder erneut nochmals nochmal opnieuw weer nogmaals nuevamente nuovamente novamente
"""
AGAIN_ADVERBS = frozenset(_AGAIN_WORDS.split()) | {
    "de nuevo",
    "di nuovo",
    "de novo",
    "à nouveau",
    "de nouveau",
}
"""Words of `again` that are no verb."""


def _by_word() -> tuple[dict[str, str], dict[str, tuple[tuple[str, ...], ...]]]:
    single: dict[str, str] = {}
    for table in ({"small": SMALL}, NAMES, LIMITS, WARNINGS, JOINTS, ACTS):
        for role, words in table.items():
            single |= dict.fromkeys(_SIGNS.sub("_", words).split(), role)
    phrases: dict[str, list[tuple[str, ...]]] = {}
    for entry in [entry for entry in single if "_" in entry]:
        parts = tuple(entry.split("_"))
        phrases.setdefault(parts[0], []).append(parts)
    return single, {first: tuple(sorted(found, key=len, reverse=True)) for first, found in phrases.items()}


ROLES, PHRASES = _by_word()
"""Role by word or phrase, and the phrases by their first word, the longest first."""
