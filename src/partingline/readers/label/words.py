"""Words on labels, in the languages they are printed in. Common practice, no source."""

INPUT = (
    "input", "i/p", "输入", "輸入", "入力", "eingang", "entrada", "entrée", "entree", "ingresso", "вход", "primary",
)  # fmt: skip
OUTPUT = (
    "output", "o/p", "输出", "輸出", "出力", "ausgang", "salida", "saída", "saida", "sortie", "uscita", "выход",
)  # fmt: skip
TOTAL = (
    "total", "gesamt", "combined", "总功率", "總功率", "总输出", "max. total", "all ports", "overall",
    "rated power", "nennleistung", "额定功率",
)  # fmt: skip
CERTIFICATIONS = (
    "CE", "UKCA", "FCC", "RoHS", "ROHS", "cULus", "cUL", "UL", "ETL", "cETLus", "TÜV", "TUV", "GS", "CCC", "PSE", "KC",
    "BSMI", "RCM", "EAC", "NOM", "BIS", "VCCI", "WEEE", "LISTED", "VDE", "SAA", "CQC", "S-Mark", "ENEC",
)  # fmt: skip
USES = (
    "for indoor use only", "indoor use only", "indoor use", "for use with information technology equipment",
    "limited power source", "LPS", "I.T.E. power supply", "仅限室内使用", "nur für innenräume",
    "caution: for indoor use only", "caution", "do not open", "risk of electric shock", "dry location use only",
)  # fmt: skip
KINDS = (
    "ac/dc adapter", "ac adapter", "ac/dc adaptor", "power adapter", "switching power supply", "power supply unit",
    "power supply", "usb-c charger", "usb charger", "wall charger", "gan charger", "charger", "电源适配器", "充电器",
    "usb-c dock", "docking station", "dock", "netzteil", "steckernetzteil", "ladegerät", "adapter",
)  # fmt: skip
CLASS_II = (
    "class ii equipment", "class ii", "class 2 equipment", "schutzklasse ii", "protection class ii", "double insulated",
    "double insulation", "双重绝缘", "⧈", "回",
)  # fmt: skip
# quantity -> (its SI unit, names before it)
KEYED = {
    "average_efficiency": ("1", ("average active efficiency", "average efficiency", "avg. efficiency", "平均效率")),
    "low_load_efficiency": ("1", ("efficiency at low load (10 %)", "efficiency at low load", "efficiency at 10% load")),
    "no_load_power": ("W", ("no-load power consumption", "no load power consumption", "no-load power", "no load power",
                            "standby power", "standby")),
    "ambient_temperature": ("degC", ("max ambient temperature", "ambient temperature", "operating temperature",
                                     "ambient", "operating temp.", "operating temp", "tamb", "tma", "ta", "t40",
                                     "使用温度")),
    "altitude": ("m", ("max altitude", "operating altitude", "altitude", "海拔", "höhe")),
    "mass": ("kg", ("net weight", "weight", "mass", "gewicht", "重量")),
    "power_factor": ("1", ("power factor", "pf")),
}  # fmt: skip
# what is said -> names before it
NAMED = {
    "model": ("model number", "model no.", "model no", "model name", "model", "modell", "modelo", "modèle", "m/n",
              "型号", "型號", "mod."),
    "maker": ("manufacturer", "manufactured by", "made by", "maker", "hersteller", "fabricante", "制造商", "制造商名称",
              "brand"),
    "importer": ("importer", "imported by", "importeur", "进口商"),
    "serial_number": ("serial number", "serial no.", "serial no", "s/n", "sn"),
    "part_number": ("part number", "part no.", "part no", "p/n", "sku"),
    "date_code": ("date code", "d/c", "mfg date", "mfg. date", "production date"),
    "origin": ("made in", "hergestellt in", "fabriqué en", "hecho en", "fabricado en", "assembled in", "产地"),
}  # fmt: skip
