"""USB Power Delivery messages as frozen values: header, objects, whole messages, chunks, typed offers.

header -> pdo, rdo, vdm (identity, cable, displayport), status, extended -> message -> chunks
"""
