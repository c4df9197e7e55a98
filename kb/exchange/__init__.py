"""Between shops: one file for each revision and each record, named by its hash, in a folder that
any file sync or git carries.

    FOLDER/revisions/ab/ab12….json      the canonical JSON whose SHA-256 is ab12…
    FOLDER/records/cd/cd34….json

Merging is set union. A folder only ever gains files, so no two shops can conflict, and whoever
reads the same files, in any order and any number of times, has the same revisions and records.
What is in a folder is hostile until it has passed every check; `share in` takes all of it or none.
"""
