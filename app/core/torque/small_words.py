"""Words of eight languages that change nothing about a printed torque: articles, patterns, tools, places.

A word stands here only where the act is the same with and without it. A blank within a phrase is written `_`.
"""

SMALL = """
    two_or_three one_or_two three_or_four two_to_three set_to set_at setting
    inside_out centre_out center_out middle_out from_the_center_out from_the_centre_out outwards opposite
    opposite_bolts opposite_sides hold_counter tab bend bent bend_up lock_tab ze hen fixation fixations

    should must a_torque_of torque_of the_torque_of a an the this these those each every all both any
    its their it them him one's as be is are was has have been so
    of for from with without by at on in into onto per via using use used_with and/or which that who
    whose there
    up down through_out  again_in same following follows shown sequence order pattern place places position
    positions step_by_step only until unless_otherwise_indicated then_to value values spec specification
    specifications specified final initial intermediate first second third fourth fifth sixth last
    evenly gradually
    slowly carefully correct correctly proper properly figure table note see refer text item items
    alternately diagonally diagonal crosswise criss cross crisscross criss_cross star spiral centre
    center outward
    outwards inward inwards working direction reverse_order sequentially circular clockwise_order cross_wise
    from_the_center_outward from_the_centre_outward from_inside_to_outside  in_reverse_order
    from_the_middle_outward from_centre_to_ends left_to_right top_to_bottom
    completely fully entirely full complete  quite until_free free slightly lightly just
    torque_wrench wrench spanner socket ratchet tool gauge angle_gauge rigid mm inch gap torque_value
    torque_values torque_spec torque_specification torque_specifications tightening_torque installation_torque
    assembly_torque torque_of torque_figure total_of about_the standard service general normal required
    recommended typical step steps stage stages pass passes two three four five six seven eight nine ten
    eleven
    twelve thirteen fourteen sixteen eighteen twenty one by_one pcs pc ea qty quantity spec'd spec. ft.
    one_by_one
    do_not_overtighten do_not_over_tighten do_not_over_torque do_not_overtorque fertig fertiganziehen
    slutdra verwenden verwende benutzen nur
    always renew renewed replace replaced replacement replaces discard discarded
    reuse one_time remove removed removing
    sealant thread_sealant sealer thread_locker threadlocker threadlock thread_lock loctite locking_compound
    locking_fluid adhesive apply applied coat coated oil grease
    the_threads thread threads threaded head_and_threads underside clean_threads
    number numbers no. arrow arrows points degrees degree deg angle_of warm_engine stretch
    check_stud_stretch recheck
    hour hours week minute minutes km miles mile operation running hold holding held  counterhold
    kept still
    not_applicable maker's manufacturer's manual book page para paragraph section chapter hydraulic wait
    after_seating_of
    hole holes next secure_with pull put position_of
    install installed installing fit fitted secure secured after reach reached
    directions
    direction ensure make_sure position place placed put assemble assembled assembling attach attached connect
    suitable appropriate proper appendix chart table_of given listed as_shown
    indicated prescribed order_shown spec_torque torqued_to t md ma mt tq npt nptf unc unf unef
    bsp bspp taper clean cleaned cleaning initially initially_to uniformly equally equal amounts
    increments increment several time once until_it until_they makes make made being
    approximately_to both either_side  opposing cross pairs pair adjacent other
    between_stages min_of shown_in shown_below below_shown ensure_that care taking take care_not
    using_a tightness tight tightly firmly hand_only only_hand while_holding with_a gradually_and
    angle_meter protractor meter marks mark paint
    so_that such like kind type size sizes dia diameter long_enough class grade property strength bolt_size
    m mm cm zero null zéro cero nul seated_in later x completely_loose engine_cold threads_clean clean each
    beyond_snug drive head_of bring brought run place_on finger wheel_up hub_up

    der die das den dem des ein eine einen einem einer eines alle aller allen jede jeden jeder je mit
    auf zu zum zur
    von vom für im in am an um über nach bei sowie dabei beim unter
    kreuz über_kreuz kreuzweise reihenfolge in_der_reihenfolge von_innen_nach_außen innen_nach_außen
    stufe stufen
    von_der_mitte_nach_außen
    schritt schritten vorläufig endgültig vollständig ganz komplett erste ersten erster zweite zweiten
    zweiter dritte
    dritten dritter vierte letzte gleichmäßig schrittweise erneuern ersetzen immer grad drehmoment
    anzugsmoment
    anzugsdrehmoment anziehdrehmoment anziehmoment anzugsmomente drehmomentschlüssel schlüssel gewinde
    sein sie bitte
    wert werte siehe

    le la les l un une des du de d au aux en sur par pour avec chaque tous toutes toute tout ce se son sa ses
    croix en_croix en_étoile étoile spirale ordre dans étape étapes phase phases passe passes passage
    du_centre_vers_l'extérieur couple couples complètement totalement complet définitif initial final
    provisoire progressivement remplacer degrés degré clé dynamométrique filetage filets
    première deuxième troisième quatrième dernière première_phase temps voir c'est_à_dire appliquer respecter

    el los las lo una uno unos unas del al con para por cada todos todas todo su sus cruz en_cruz
    en_diagonal espiral alternativamente orden etapa etapas fase fases paso pasos pasada par pares de_apriete
    completamente totalmente definitivo inicial gradualmente sustituir reemplazar siempre grado grados llave
    dinamométrica rosca roscas primera primero segunda segundo tercera tercero cuarta
    última valor
    en_orden desde

    il lo gli i uno una del dello della dei degli delle dal dalla con da di per ogni tutti tutte su sul
    sulla nel
    nella alla allo ai agli alle croce a_croce incrociato stella coppia coppie serraggio fase fasi passo
    passata ripresa completamente totalmente definitivo iniziale finale gradualmente sostituire sempre
    grado gradi chiave dinamometrica filettatura prima seconda terza quarta ultima
    valore ordine

    het een des per met op voor_de van aan alle elke elk ieder bij uit stap stappen fase ronde trap
    beurt kruislings kruiselings koppel aanhaalmoment aanhaalkoppel aandraaimoment aantrekkoppel moment
    helemaal
    volledig compleet geheel definitief eerste tweede derde vierde laatste vervangen altijd graden graad
    momentsleutel sleutel draad volgorde van_binnen_naar_buiten waarde

    os as um uma uns umas do da dos das ao aos à às em no na nos nas com para por cada todos todas seu
    cruz em_cruz
    em_x alternadamente etapa etapas fase passo estágio passe torque binário de_aperto totalmente
    completamente
    definitivo inicial gradualmente substituir trocar sempre grau graus chave dinamométrica rosca

    primeira segunda terceira quarta última valor ordem

    den det de en ett alla varje med på för av i vid korsvis växelvis inifrån_och_ut ordning
    ordningsföljd steg omgång
    etapp moment momentet helt slutlig byt alltid grader grad momentnyckel nyckel gänga åtdragningsmoment
    första andra tredje fjärde sista värde stegvis skall ska
    """
