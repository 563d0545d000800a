"""What a printed torque is for, in eight languages: fasteners, parts, and the words that tell two apart."""

NAMES: dict[str, str] = {
    "fastener": """
        bolt bolts screw screws nut nuts stud studs capscrew capscrews cap_screw cap_screws locknut locknuts
        lock_nut lock_nuts fastener fasteners setscrew setscrews plug plugs fitting fittings union unions
        pinch_bolt pinch_bolts banjo_bolt banjo_bolts machine_screw machine_screws
        schraube schrauben mutter muttern bolzen stehbolzen dehnschraube dehnschrauben stopfen überwurfmutter
        hohlschraube hohlschrauben zündkerze zündkerzen stiftschraube stiftschrauben
        vis écrou écrous boulon boulons goujon goujons bouchon bouchons bougie bougies raccord raccords
        tornillo tornillos tuerca tuercas perno pernos espárrago espárragos tapón bujía bujías
        vite viti dado dadi bullone bulloni prigioniero prigionieri tappo candela candele
        bout bouten moer moeren schroef schroeven tapeind tapeinden bougie bougies
        parafuso parafusos porca porcas prisioneiro prisioneiros bujão vela velas
        skruv skruvar skruvarna skruven mutter muttrar muttrarna muttern bult bultar bultarna pinnbult
        pinnbultar
        tändstift plugg
        """,
    "part": """
        engine motor head heads cyl cylinder block sump pan oil_pan cover covers cap caps main mains rod
        rods con_rod
        conrod connecting_rod bearing bearings big_end big_ends crankshaft crank camshaft cam cams pulley
        pulleys
        sprocket sprockets gear gears chain timing tensioner idler damper balancer flywheel flexplate clutch
        pressure
        plate bellhousing bell housing housings transmission gearbox transaxle converter manifold manifolds
        header
        headers exhaust_manifold intake_manifold turbo turbocharger turbine supercharger throttle body
        bodies injector
        injectors fuel_rail rail pump pumps water thermostat outlet inlet_pipe pipe pipes hose hoses clamp
        clamps
        radiator fan shroud alternator generator starter starter_motor compressor a/c ac aircon
        air_conditioning
        air conditioning power steering bracket brackets mount mounts mounting mountings engine_mount
        support supports
        crossmember subframe frame arm arms link links tie ball joint joints hub hubs wheel wheels axle axles
        drive driveshaft propshaft prop shaft shafts differential diff carrier pinion ring_gear knuckle
        strut struts
        shock spring springs caliper calipers brake brakes disc disk drum rotor pedal column seat seats belt
        belts
        bumper door hinge hinges latch battery terminal terminals ground earth strap cable cables sensor
        sensors
        switch oxygen o2 knock coil coils ignition distributor spark_plug spark_plugs glow_plug glow_plugs
        drain
        drain_plug filler filler_plug filter filters oil_filter element bowl gasket gaskets seal seals
        washer washers
        lockwasher lockwashers o_ring pin pins cotter cotter_pin dowel dowels guide guides rocker rockers
        shaft_cap
        valve valves lifter lifters pushrod tappet adjuster adjusting adjustment jam flange flanges baffle
        windage
        tray pickup pick_up strainer tube tubes line lines coolant oil fuel vacuum breather pcv egr catalyst
        catalytic
        muffler heat shield shields guard bush bushing bushings insulator retainer retainers retaining
        attaching
        attach attachment fixing securing holding_down hold_down end ends case crankcase casing plate_bolts
        side
        sides rear_main key keys woodruff assembly unit module box pack regulator relay lever rack spin_on
        spin reservoir tank cooler cap_bolts castle castellated castle_nut slotted hex flanged socket_head
        allen torx
        nyloc self self_locking locking lock locker metal base surface chamber intermediate ladder bed girdle
        access plain lockwashers strainers connector connectors harness tie_rod drag_link pitman idler_arm
        spindle_nut jamnut jamnuts jam_nut lockring snapring snap ring_nut thrust thrust_washer tank_drain
        turnbuckle
        elbow tee adapter_plate nipple coupling couplings flexible hydraulic_pump cylinder_head governor
        winch winches track tracks roller rollers sprockets idlers hull ramp turret armor deck cab canopy
        cross_member
        tailpipe flasher horn lamp headlamp headlight tail light lights mirror windshield wiper instrument
        panel gauge
        dash console glove fender fenders grille hood trunk lid bonnet boot wing skid guard_plate
        boss bosses threaded_hole insert inserts stud_bolt clevis eyebolt eye bolts_and nuts_and u_joint
        flange_bolt
        bracket_bolt nut_and capscrews_and washer_and oil_gallery gallery main_bearing pilot release
        throwout fork
        dust boot_clamp sleeve liner liners piston pistons wrist gudgeon small_end balance counterweight
        reluctor trigger wheel_bearing hub_nut axle_nut flywheel_ring starter_ring drain_cock petcock bleed
        bleeder
        brake_line master booster wheel_cylinder parking emergency lockout breather_cap rocker_cover
        rocker_arm
        rocker_shaft tappet_cover valve_cover timing_cover front_cover rear_cover top_cover side_cover
        inspection_cover
        water_jacket heater matrix thermostat_housing water_outlet water_inlet water_pump oil_pump fuel_pump
        vacuum_pump injection injection_pump high_pressure low_pressure rail_pressure delivery return banjo
        crossover plenum tension lever_arm selector shift shifter linkage governor_housing speedometer
        tachometer
        knuckle_joint universal yoke spider companion kingpin steering_wheel spindle trunnion control sway
        bar stabilizer
        anti_roll trailing lateral panhard u_bolt u_bolts leaf hanger shackle wheel_nut lug lugs v6 v8 i4
        zylinderkopf zylinderkopfschraube zylinderkopfschrauben zylinderkopfdeckel ventildeckel
        ventildeckelschraube
        ölwanne ölwannenschraube ölablassschraube ölablaßschraube ölfilter ölpumpe wasserpumpe kurbelwelle
        nockenwelle nockenwellenrad pleuel pleuelschraube pleuelschrauben pleuelmutter hauptlager
        hauptlagerschrauben
        lagerdeckel schwungrad schwungradschrauben kupplung kupplungsdruckplatte druckplatte getriebe
        getriebeglocke riemenscheibe keilriemenscheibe zahnriemen spannrolle umlenkrolle steuerkette
        lichtmaschine
        anlasser klimakompressor halter motorlager motorlagerung träger krümmer abgaskrümmer saugrohr
        ansaugkrümmer
        turbolader einspritzdüse rail dichtring dichtung dichtungen deckel gehäuse flansch rad radmuttern
        radschrauben
        radbolzen nabe achse achsmutter antriebswelle gelenkwelle bremssattel scheibe scheiben motor kopf
        block
        thermostatgehäuse thermostat pumpe kühler verschlussschraube ölkühler kettenspanner
        culasse couvre_culasse carter carter_d'huile huile eau pompe palier paliers bielle bielles chapeau
        chapeaux
        vilebrequin arbre arbres cames volant embrayage boîte vitesses poulie poulies courroie distribution
        tendeur
        galet alternateur démarreur compresseur support supports moteur collecteur tubulure injecteur
        injecteurs
        joint joints rondelle roue roues moyeu transmission étrier vidange filtre couvercle bride cardan
        bouchon_de
        culata tapa tapas válvulas válvula cárter aceite agua bomba cojinete cojinetes biela bielas bancada
        cigüeñal
        árbol levas volante embrague caja cambios polea correa distribución tensor alternador arranque
        compresor soporte
        soportes motor colector colectores inyector inyectores junta arandela rueda ruedas buje vaciado
        drenaje filtro
        cabeza cilindro cilindros bloque
        testata testa coperchio coppa olio acqua pompa cuscinetto cuscinetti banco biella bielle cappello
        cappelli
        albero motore camme volano frizione cambio puleggia cinghia distribuzione tenditore alternatore
        motorino
        avviamento compressore supporto supporti collettore collettori iniettore iniettori guarnizione
        rondella ruota
        ruote mozzo scarico_olio filtro cilindro cilindri
        cilinderkop cilinderkopbouten kopbouten kleppendeksel carterpan carter olie waterpomp oliepomp lager
        lagers
        hoofdlager hoofdlagers drijfstang drijfstangen lagerkap lagerkappen krukas nokkenas vliegwiel
        koppeling
        versnellingsbak poelie riem distributieriem spanner spanrol dynamo startmotor aircocompressor steun
        motorsteun
        spruitstuk verstuiver pakking ring wiel wielbouten wielmoeren naaf aftapplug filter deksel huis blok
        motor
        cabeçote cabeça tampa válvulas cárter óleo água bomba mancal mancais biela bielas chumaceira
        virabrequim
        cambota árvore comando volante embreagem embraiagem caixa câmbio polia correia tensor alternador
        arranque
        partida compressor suporte suportes coletor colector injetor injector bico bicos junta arruela
        anilha roda
        rodas cubo dreno filtro motor cilindro bloco capa
        topplock topplocksskruvar topplocksbult ventilkåpa oljetråg oljesump olja vattenpump oljepump ramlager
        ramlagerskruvar vevstake vevstakar vevlager vevaxel kamaxel svänghjul koppling växellåda remskiva
        kamrem
        spännrulle generator startmotor kompressor fäste motorfäste grenrör insugsrör spridare packning
        bricka hjul
        hjulmuttrar hjulbultar nav oljeplugg avtappningsplugg oljefilter lock kåpa hus block motor kamkedja
        överfall
        """,
}
VARIANTS: dict[str, dict[str, str]] = {
    "age": {
        "new": """new fresh brand_new neu neue neuen neuer neues neuf neuve neufs neuves nuevo nueva
            nuevos nuevas
            nuovo nuova nuovi nuove nieuw nieuwe novo nova novos novas ny nya nytt""",
        "used": """used reused re_used old gebraucht gebrauchte gebrauchten wiederverwendet
            wiederverwendete alte usagé
            usagés usagée réemployé usado usada usados usadas usato usata usati usate gebruikt gebruikte
            begagnad
            begagnade använd använda vecchi velhos viejos""",
    },
    "friction": {
        "dry": """dry unlubricated plain_dry trocken trockene trockenem ungeölt à_sec sec seco en_seco
            a_seco a_secco secco droog droge torr
            torra torrt sem_óleo sin_aceite senza_olio""",
        "oiled": """oiled lightly_oiled lightly_oil with_oil oil_threads oil_the_threads apply_oil
            apply_grease apply_a_little_oil assembly_lube
            wet lubricated lubed greased lubricate oily moly with_oil engine_oil geölt
            geölte geölten
            gefettet geschmiert huilé huilés huilée graissé lubrifié aceitado aceitados lubricado engrasado
            oliato oliati lubrificato
            lubrificati geolied gesmeerd ingevet oleado lubrificado oljad oljade smord infettad anti_seize
            antiseize
            with_anti_seize with_sealant""",
    },
    "heat": {
        "cold": """cold kalt kalte kaltem à_froid froid en_frío frío a_freddo freddo koud koude a_frio frio
            kall kalla kallt""",
        "hot": """hot warm at_operating_temperature heiß warmen betriebswarm à_chaud chaud en_caliente
            caliente a_caldo caldo
            warme a_quente quente varm varma varmt""",
    },
    "hand": {
        "left": """left left_hand lh left_side links linke linker linken gauche izquierdo izquierda izquierdos
            sinistro sinistra sx linker esquerdo
            esquerda vänster vänstra bank_1""",
        "right": """right right_hand rh right_side rechts rechte rechter rechten droit droite derecho derecha
            derechos destro destra dx rechter direito direita
            höger högra bank_2""",
    },
    "thread": {
        "left-hand": """left_hand_thread left_hand_threads left_handed_thread linksgewinde pas_à_gauche
            filetage_à_gauche rosca_izquierda rosca_a_izquierdas filettatura_sinistra linkse_draad
            rosca_esquerda vänstergänga""",
    },
    "length": {
        "front": """front fore forward vorn vorne vordere vorderer avant delantero delantera delanteros
            anteriore anteriori voor voorste
            dianteiro dianteira dianteiros fram främre""",
        "rear": """rear aft hinten hintere hinterer arrière trasero trasera traseros posteriore posteriori
            achter achterste traseiro
            traseira traseiros bak bakre""",
    },
    "height": {
        "upper": """upper top oben obere oberen supérieur supérieure supérieurs haut superior superiores
            superiore superiori boven
            bovenste övre""",
        "lower": """lower bottom unten untere unteren inférieur inférieure inférieurs bas inferior
            inferiores inferiore inferiori
            onder onderste undre nedre""",
    },
    "depth": {
        "inner": """inner inboard inside center_bolts innen innere inneren intérieur intérieure intérieurs
            interior interiores
            central interno interna interni binnen binnenste interno internos inre""",
        "outer": """outer outboard outside corner außen äußere äußeren extérieur extérieure extérieurs
            exterior exteriores lateral
            esterno esterna esterni buiten buitenste externo externos yttre""",
    },
    "flow": {
        "intake": """intake inlet einlass einlaß ansaug admission admisión aspirazione inlaat admissão
            insug insugs""",
        "exhaust": """exhaust auslass auslaß abgas échappement escape scarico uitlaat escapamento avgas
            avgassida""",
    },
    "size": {
        "long": """long longer longest lang lange langen longue longues largo larga largos lungo lunga
            lunghi lange longo comprido longos långa lång""",
        "short": """short shorter shortest kurz kurze kurzen court courte courtes courts corto corta cortos
            corti kort korte curto curtos kort korta""",
    },
    "bulk": {
        "small": """small smaller klein kleine kleinen petit petits pequeño pequeños piccolo piccoli kleine
            pequeno små liten""",
        "large": """large larger big bigger groß große großen gros grands grande grandes grosso groot grote
            stora stor""",
    },
    "material": {
        "steel": "steel stahl acier acero acciaio staal aço stål",
        "iron": "cast_iron iron grauguss gusseisen fonte fundición hierro ghisa gietijzer ferro gjutjärn",
        "aluminium": "aluminium aluminum alloy alu aluminio alluminio alumínio",
        "titanium": "titanium titan titane titanio titânio",
        "plastic": "plastic kunststoff plastique plástico plastica plast kunststof",
        "magnesium": "magnesium magnesio",
        "brass": "brass messing laiton latón ottone latão mässing",
        "copper": "copper kupfer cuivre cobre rame koper koppar",
        "stainless": "stainless",
    },
    "gear": {
        "manual": "manual_gearbox manual_transmission schaltgetriebe handgeschakeld",
        "automatic": "automatic automatikgetriebe automatic_transmission automaat",
    },
    "head": {
        "hexagon": "hexagon hexagon_head hex_head sechskant",
        "twelve": "twelve_point twelve_point_head",
    },
    "epoch": {
        "early": "early before_facelift pre",
        "late": "late later_engines facelift",
    },
    "fit": {
        "with": """with_gasket with_washer with_seal mit_dichtung avec_joint con_junta con_guarnizione
            met_pakking com_junta med_packning with_lock_plate""",
        "without": "without ohne sans sin senza zonder sem utan w/o",
    },
    "share": {
        "others": """others remaining rest übrigen übrige restlichen autres demás altri altre overige
            andere demais outros övriga resten""",
    },
    "taper": {
        "flat": "flat flat_seat flachsitz",
        "conical": "tapered conical conical_seat tapered_seat kegelsitz konisch",
    },
    "fuel": {
        "petrol": "petrol gasoline benzin essence gasolina benzina benzine bensin",
        "diesel": "diesel",
    },
}
CONDITIONS: dict[tuple[str, str], str] = {
    ("friction", "dry"): "dry",
    ("friction", "oiled"): "oiled",
    ("heat", "cold"): "cold",
    ("heat", "hot"): "hot",
    ("age", "used"): "used",
    ("thread", "left-hand"): "left-hand thread",
}
"""Variants that say under which state the value holds, by how they are shown."""

VARIANT_OF: dict[str, tuple[str, str]] = {
    word: (group, member)
    for group, members in VARIANTS.items()
    for member, words in members.items()
    for word in words.split()
}
NAMES["variant"] = " ".join(VARIANT_OF)
